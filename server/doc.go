// Package server ties the parts together over HTTP: devices enrol and sync, photos come
// and go, computations answer, and a landholder's link shows the works of one property.
// It decides who may do what, and holds that as entries of an office register, so that
// an enrolment, a link and their revocation are evidence like everything else.
//
// It computes nothing itself (model does), stores nothing itself (sync/store does), and
// formats nothing itself (export does).
package server
