package preview

import (
	"errors"
	"net"
	"net/netip"
	"os"
	"strconv"
	"strings"
	"syscall"
)

// DefaultPort is where a preview is found unless the port is taken; then it is at the next free one.
const DefaultPort = 4470

// manyPreviews bounds the ports that are tried in order, so that their addresses stay easy to guess.
const manyPreviews = 20

// listen opens the port, and says whether it isn't the usual one.
func listen(address string) (l net.Listener, taken bool, err error) {
	if address != "" {
		l, err = net.Listen("tcp", address)
		return l, false, err
	}
	for port := DefaultPort; port < DefaultPort+manyPreviews; port++ {
		l, err = net.Listen("tcp", net.JoinHostPort("127.0.0.1", strconv.Itoa(port)))
		if err == nil || !errors.Is(err, syscall.EADDRINUSE) {
			return l, taken, err
		}
		taken = true
	}
	l, err = net.Listen("tcp", "127.0.0.1:0")
	return l, taken, err
}

// hosts are the names under which a preview answers. A page of another site can have its own name lead to
// this machine, and so read what is served here, if any name will do.
type hosts struct {
	url    string
	beyond bool // more than the loopback can reach it
	names  map[string]bool
}

// hostsFor lists the names for a listener that was asked for by an address.
func hostsFor(l net.Listener, address string) hosts {
	at := l.Addr().(*net.TCPAddr)
	h := hosts{beyond: !at.IP.IsLoopback(), names: map[string]bool{"localhost": true}}
	show := at.IP.String()
	if at.IP.IsUnspecified() {
		show = "localhost"
	}
	if asked, _, err := net.SplitHostPort(address); err == nil && asked != "" {
		h.names[strings.ToLower(asked)] = true
	}
	if name, err := os.Hostname(); err == nil && h.beyond {
		h.names[strings.ToLower(name)], h.names[strings.ToLower(name)+".local"] = true, true
	}
	h.url = "http://" + net.JoinHostPort(show, strconv.Itoa(at.Port)) + "/"
	return h
}

// allow says whether the preview answers a request for this host. Its port doesn't matter, because it may have been
// forwarded. Only a name can be made to lead here by another site, so beyond the loopback every numeric address is allowed.
func (h hosts) allow(host string) bool {
	if name, _, err := net.SplitHostPort(host); err == nil {
		host = name
	}
	host = strings.ToLower(strings.Trim(host, "[]"))
	if ip, err := netip.ParseAddr(host); err == nil {
		return h.beyond || ip.IsLoopback()
	}
	return h.names[host]
}
