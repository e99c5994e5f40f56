package server

import (
	"context"
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strings"

	"headcut/model"
)

// Proxies are the addresses whose X-Forwarded-For the operator trusts.
type Proxies []netip.Prefix

// ParseProxies reads addresses and networks, with commas between them.
func ParseProxies(text string) (Proxies, error) {
	var all Proxies
	for _, one := range strings.Split(text, ",") {
		if one = strings.TrimSpace(one); one == "" {
			continue
		}
		if address, err := netip.ParseAddr(one); err == nil {
			all = append(all, netip.PrefixFrom(address.Unmap(), address.Unmap().BitLen()))
			continue
		}
		network, err := netip.ParsePrefix(one)
		if err != nil {
			return nil, &model.Problem{Path: "--proxy", Reason: quote(one) + " is not an address or a network", Fix: "write it as 127.0.0.1 or 10.0.0.0/8, several with commas"}
		}
		all = append(all, network.Masked())
	}
	return all, nil
}

// TrustProxies names the proxies in front of the server, before it answers anybody.
func (s *Server) TrustProxies(p Proxies) { s.proxies = p }

func (p Proxies) trust(address netip.Addr) bool {
	return slices.ContainsFunc(p, func(one netip.Prefix) bool { return one.Contains(address.Unmap().WithZone("")) })
}

// client is the address that a request of Handler is counted under. Of IPv6 it is the network,
// which one house or one machine has whole. It is "" when something in front of the server
// asks for somebody, and the operator has not said that it is trusted: anybody could write
// that header.
func client(r *http.Request) string {
	who, _ := r.Context().Value(clientKey{}).(string)
	return who
}

type clientKey struct{}

// knownClient notes the client of each request.
func (s *Server) knownClient(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		who := s.proxies.client(r)
		if who == "" {
			s.unknownProxy.Do(func() {
				s.log.Warn("requests come through a proxy that this server does not know of, so that all who come through it share one limit of wrong codes and nothing else is limited by address: give --proxy", "from", r.RemoteAddr)
			})
		}
		next.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), clientKey{}, who)))
	})
}

func (p Proxies) client(r *http.Request) string {
	from, err := hostOf(r.RemoteAddr)
	if err != nil {
		return "unknown"
	}
	forwarded := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
	switch {
	case forwarded[0] == "" && len(forwarded) == 1:
		return network(from)
	case !p.trust(from) && from.IsLoopback():
		return ""
	}
	for i := len(forwarded) - 1; i >= 0 && p.trust(from); i-- {
		next, err := netip.ParseAddr(strings.TrimSpace(forwarded[i]))
		if err != nil {
			return "unknown"
		}
		from = next
	}
	return network(from)
}

func hostOf(remote string) (netip.Addr, error) {
	host, _, err := net.SplitHostPort(remote)
	if err != nil {
		host = remote
	}
	return netip.ParseAddr(host)
}

func network(address netip.Addr) string {
	if address = address.Unmap().WithZone(""); address.Is6() {
		if network, err := address.Prefix(64); err == nil {
			return network.String()
		}
	}
	return address.String()
}
