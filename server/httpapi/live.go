package httpapi

import (
	"net"
	"net/http"

	"github.com/gofiber/fiber/v2"
	"github.com/gofiber/fiber/v2/middleware/adaptor"
	"github.com/gorilla/websocket"

	"panside/internal/fault"
	"panside/server/route"
	"panside/server/spoken"
)

// liveBuffer is the most the system may hold back for one phone, some twenty
// weights. With the usual hundreds of kilobytes a phone on a bad link would be
// shown weights from minutes ago, each claiming to be fresh.
const liveBuffer = 8 << 10

// live upgrades to a WebSocket. The phone proves itself by its first message,
// since a browser's socket can carry no header of ours; so the language stands in the
// address, "?language=es".
func (s *api) live(c *fiber.Ctx) error {
	if tcp := tcpUnder(c.Context().Conn()); tcp != nil {
		_ = tcp.SetWriteBuffer(liveBuffer) // a wish, not a need
	}
	var conn *websocket.Conn
	upgrade := adaptor.HTTPHandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		// A failure was answered by upgradeFailed, or the connection is gone.
		conn, _ = s.upgrader.Upgrade(w, r, nil)
	})
	if err := upgrade(c); err != nil {
		return err
	}
	if conn != nil {
		address, t := route.AddressOf(c), spoken.Accepted(c.Query("language"))
		// Served from here and not inside the upgrade, because fasthttp clears
		// the deadlines after the handler and before this call.
		c.Context().Hijack(func(net.Conn) {
			if why := s.Live.Serve(conn, t); why != nil && why.Code == fault.NotJoined {
				s.LogRefusal("a live stream was refused", address, why)
			}
		})
	}
	return nil
}

// tcpUnder finds the TCP connection below TLS and whatever wraps it.
func tcpUnder(conn net.Conn) *net.TCPConn {
	for {
		if tcp, ok := conn.(*net.TCPConn); ok {
			return tcp
		}
		wrapped, ok := conn.(interface{ NetConn() net.Conn })
		if !ok {
			return nil
		}
		conn = wrapped.NetConn()
	}
}
