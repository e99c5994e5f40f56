package server

import (
	"cmp"
	"context"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"headcut/model"
)

// ServerAddress is an address of a server as people open it, written the one way in which
// browsers write an origin: "https://name", with the port only when it is not the scheme's
// own. A Problem when it is none.
func ServerAddress(address string) (string, error) {
	u, err := url.Parse(strings.TrimSpace(address))
	if err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Hostname() == "" || strings.Trim(u.Path, "/") != "" || u.RawQuery != "" || u.Fragment != "" || u.User != nil {
		return "", badAddress(address)
	}
	host, port := strings.ToLower(u.Hostname()), u.Port()
	if strings.HasSuffix(u.Host, ":") || strings.ContainsAny(host, " _,;*") || port != "" && !isPort(port) {
		return "", badAddress(address)
	}
	if strings.Contains(host, ":") {
		host = "[" + host + "]"
	}
	if port != "" && port != map[string]string{"http": "80", "https": "443"}[u.Scheme] {
		host += ":" + port
	}
	return u.Scheme + "://" + host, nil
}

func isPort(text string) bool {
	n, err := strconv.Atoi(text)
	return err == nil && n >= 1 && n <= 65535
}

func badAddress(address string) error {
	return &model.Problem{Path: "--address", Reason: quote(address) + " is not the address of a server", Fix: "write it as https://name, with the port if it is not 443, and nothing after it"}
}

// ownOrigin reports whether a browser's request comes from a page of this server: of the host
// that was asked, or of an address that the operator gave. Something in front of the server
// may ask it under another name than people do.
func (s *Server) ownOrigin(r *http.Request) bool {
	origin := r.Header.Get("Origin")
	if origin == "" {
		return true // no browser
	}
	u, err := url.Parse(origin)
	if err != nil {
		return false
	}
	if strings.EqualFold(u.Host, r.Host) {
		return true
	}
	own, err := ServerAddress(origin)
	return err == nil && slices.Contains(s.addresses(), own)
}

// Announce records the address under which people open this server, as "https://name" with
// no path, and returns the earlier ones, newest first, when it is another than the last.
func (s *Server) Announce(ctx context.Context, address string) (earlier []string, err error) {
	if address, err = ServerAddress(address); err != nil {
		return nil, err
	}
	s.secure.Store(staysSecure(address))
	all := s.addresses()
	if len(all) > 0 && all[0] == address {
		return nil, nil
	}
	o := s.office
	o.writing.Lock()
	defer o.writing.Unlock()
	since := moment{s.now()}
	announced := made(&addressRecord{URL: address, Since: since})
	if known := o.addresses.one(byURL, address); known != nil {
		announced = changed(known, func(a *addressRecord) { a.Since = since })
	}
	return slices.DeleteFunc(all, func(a string) bool { return a == address }), o.write(ctx, officeAuthor, announced)
}

// staysSecure reports whether browsers may be told to open the host of an address by https
// alone. Of this machine's own name they would then open no other server either.
func staysSecure(address string) bool {
	u, err := url.Parse(address)
	return err == nil && u.Scheme == "https" && u.Hostname() != "localhost"
}

// addresses lists the addresses that were announced, the present one first.
func (s *Server) addresses() []string {
	return reading(s, func(o *office) []string {
		all := slices.SortedFunc(slices.Values(o.addresses.rows), func(a, b *addressRecord) int {
			return cmp.Or(b.Since.Compare(a.Since.Time), cmp.Compare(a.URL, b.URL))
		})
		return model.Each(all, func(a *addressRecord) string { return a.URL })
	})
}

// whereabouts are the addresses for a page that finds nothing on its phone: it may be under an earlier one.
type whereabouts struct {
	Address string   `json:"address,omitempty"` // the present one; absent when none was announced
	Earlier []string `json:"earlier"`           // newest first
}

func (s *Server) handleWhereabouts(w http.ResponseWriter, _ *http.Request) {
	all := s.addresses()
	if len(all) == 0 {
		answerJSON(w, whereabouts{Earlier: []string{}})
		return
	}
	answerJSON(w, whereabouts{Address: all[0], Earlier: all[1:]})
}

// EnrolAddress is where a code is redeemed by opening it on the phone, and EnrolDeskAddress on a
// computer; "" while the server does not know its own address.
func (s *Server) EnrolAddress(code string) string { return s.enrolAt(phonePage, code) }

func (s *Server) EnrolDeskAddress(code string) string { return s.enrolAt(deskPage, code) }

func (s *Server) enrolAt(p devicePage, code string) string {
	all := s.addresses()
	if len(all) == 0 {
		return ""
	}
	return all[0] + p.address() + "#/enrol/" + url.PathEscape(code)
}
