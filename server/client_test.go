package server

import (
	"net/http/httptest"
	"testing"
)

func TestClient(t *testing.T) {
	proxies, err := ParseProxies("127.0.0.1, ::1,10.0.0.0/8")
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		name, remote, forwarded, want string
		proxies                       Proxies
	}{
		{"plain", "203.0.113.7:4000", "", "203.0.113.7", nil},
		{"plain-beside-a-proxy", "203.0.113.7:4000", "", "203.0.113.7", proxies},
		{"forged", "203.0.113.7:4000", "198.51.100.1", "203.0.113.7", proxies},
		{"through-our-proxy", "127.0.0.1:4000", "6.6.6.6, 198.51.100.1", "198.51.100.1", proxies},
		{"through-two-proxies", "127.0.0.1:4000", "6.6.6.6, 198.51.100.1,10.1.2.3", "198.51.100.1", proxies},
		{"through-our-proxy-by-ipv6", "[::1]:4000", "2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64", proxies},
		{"through-a-proxy-nobody-told-of", "127.0.0.1:4000", "198.51.100.1", "", nil},
		{"this-machine", "127.0.0.1:4000", "", "127.0.0.1", nil},
		{"one-network", "[2001:db8:1:2::9]:4000", "", "2001:db8:1:2::/64", nil},
		{"mapped", "[::ffff:203.0.113.7]:4000", "", "203.0.113.7", nil},
		{"nonsense", "127.0.0.1:4000", "<script>", "unknown", proxies},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := httptest.NewRequest("POST", "/compute/line", nil)
			r.RemoteAddr = test.remote
			if test.forwarded != "" {
				r.Header.Set("X-Forwarded-For", test.forwarded)
			}
			if got := test.proxies.client(r); got != test.want {
				t.Errorf("client of %s forwarded for %q = %q, want %q", test.remote, test.forwarded, got, test.want)
			}
		})
	}
	for _, bad := range []string{"proxy", "10.0.0.0/40", "10.0.0.1:80"} {
		if _, err := ParseProxies(bad); err == nil {
			t.Errorf("ParseProxies(%q): got no error, want one", bad)
		}
	}
}
