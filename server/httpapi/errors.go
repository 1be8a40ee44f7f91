package httpapi

import (
	"encoding/json"
	"errors"
	"net/http"

	"github.com/gofiber/fiber/v2"

	"panside/internal/fault"
	"panside/internal/say"
	"panside/server/route"
	"panside/server/spoken"
)

type wireError struct {
	Error struct {
		Code     fault.Code `json:"code"`
		Sentence string     `json:"sentence"`
	} `json:"error"`
}

// statusOf is the HTTP status that fits a code. What isn't listed stands for a
// request that was fine and met a scale or a device in the wrong state.
func statusOf(code fault.Code) int {
	switch code {
	case fault.BadInput, fault.BadNumber, fault.UnknownUnit, fault.RefusedUnit:
		return fiber.StatusBadRequest
	case fault.NotJoined:
		return fiber.StatusUnauthorized
	case fault.SecretExpired, fault.WrongOrigin, fault.DeskOnly:
		return fiber.StatusForbidden
	case fault.NotFound, fault.NotVirtual, fault.NoSuchIssue:
		return fiber.StatusNotFound
	case fault.TooManyTries, fault.SlowDown:
		return fiber.StatusTooManyRequests
	case fault.Internal, fault.DataFolder, fault.Damaged, fault.Certificate:
		return fiber.StatusInternalServerError
	case fault.Stopping:
		return fiber.StatusServiceUnavailable
	}
	return fiber.StatusConflict
}

// answerError sends the sentence and logs the cause. Errors of the HTTP layer
// itself (no such path, wrong method, body too large) keep their status.
func (s *api) answerError(c *fiber.Ctx, err error) error {
	f, status := fault.Of(err), 0
	var h *fiber.Error
	if errors.As(err, &h) {
		f, status = httpFault(h), h.Code
	} else {
		status = statusOf(f.Code)
	}
	if f.Cause != nil {
		s.Log.Error("request failed", "method", c.Method(), "path", c.Path(), "code", f.Code, "cause", f.Cause)
	}
	var w wireError
	t := spoken.To(c)
	w.Error.Code, w.Error.Sentence = f.Code, f.In(t)
	c.Set(fiber.HeaderContentLanguage, t.Language())
	if err := route.Answer(c, w); err != nil {
		return err
	}
	c.Status(status)
	return nil
}

func httpFault(h *fiber.Error) *fault.Error {
	switch h.Code {
	case fiber.StatusNotFound, fiber.StatusMethodNotAllowed:
		return noSuchPath
	case fiber.StatusRequestEntityTooLarge:
		return fault.New(fault.BadInput, say.New("http-too-large"))
	case fiber.StatusRequestTimeout, fiber.StatusBadGateway:
		// Browsers open connections ahead and may never use them, phones leave
		// the network in the middle, and a stop cuts off: nothing to log.
		return fault.New(fault.BadInput, say.New("http-not-whole"))
	case fiber.StatusInternalServerError:
		return fault.Of(h)
	}
	return fault.Wrap(fault.BadInput, say.New("http-not-understood"), h)
}

var noSuchPath = fault.New(fault.NotFound, say.New("http-no-such-path"))

// upgradeFailed answers for the WebSocket library.
func upgradeFailed(w http.ResponseWriter, r *http.Request, status int, reason error) {
	var e wireError
	e.Error.Code = fault.BadInput
	e.Error.Sentence = spoken.Accepted(r.Header.Get("Accept-Language")).Write(say.New("http-live-only"))
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	body, err := json.Marshal(e)
	if err == nil {
		_, _ = w.Write(body)
	}
}
