package main

import (
	"errors"
	"net"
	"syscall"
)

// peerOf is the number of the user at the other end of a socket file, by unix(7), SO_PEERCRED.
func peerOf(conn net.Conn) (user int, known bool, err error) {
	socket, ok := conn.(*net.UnixConn)
	if !ok {
		return 0, false, errors.New("the office's connection is not through a socket file")
	}
	raw, err := socket.SyscallConn()
	if err != nil {
		return 0, false, err
	}
	var peer *syscall.Ucred
	var asked error
	err = raw.Control(func(fd uintptr) {
		peer, asked = syscall.GetsockoptUcred(int(fd), syscall.SOL_SOCKET, syscall.SO_PEERCRED)
	})
	if err := errors.Join(err, asked); err != nil {
		return 0, false, err
	}
	return int(peer.Uid), true, nil
}

// privateFromBirth gives a socket the rights that its file gets when it is bound: there is no
// moment at which others may connect.
func privateFromBirth(_, _ string, raw syscall.RawConn) error {
	var given error
	err := raw.Control(func(fd uintptr) { given = syscall.Fchmod(int(fd), 0o600) })
	return errors.Join(err, given)
}
