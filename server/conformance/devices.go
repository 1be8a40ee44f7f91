package conformance

import (
	"context"
	"testing"
	"time"

	"panside/internal/device"
	"panside/internal/fault"
)

// Devices keeps joined devices by the hashes of their tokens.
type Devices interface {
	AddDevice(ctx context.Context, d device.Device, tokenHash [32]byte) error
	DeviceByToken(ctx context.Context, tokenHash [32]byte) (device.Device, error)
	Devices(ctx context.Context) ([]device.Device, error)
	RenameDevice(ctx context.Context, id, name string) error
	EndDevice(ctx context.Context, id string, at time.Time) error
	SawDevice(ctx context.Context, id string, at time.Time) error
}

// TestDevices holds an empty store of devices to what is expected of one.
func TestDevices(t *testing.T, s Devices) {
	ctx := t.Context()
	evening := time.Date(2026, 3, 1, 20, 0, 0, 0, time.UTC)
	phone := device.Device{ID: "P", Name: "Kitchen phone", Role: device.Phone, Created: evening.Add(time.Minute), LastSeen: evening.Add(time.Minute)}
	desk := device.Device{ID: "D", Name: "Laptop", Role: device.Desk, Created: evening, LastSeen: evening}
	other := device.Device{ID: "Q", Name: "Old phone", Role: device.Phone, Created: evening.Add(2 * time.Minute), LastSeen: evening.Add(2 * time.Minute)}
	hash := func(d device.Device) [32]byte { return [32]byte{d.ID[0]} }

	_, err := s.DeviceByToken(ctx, hash(phone))
	wantCode(t, "asking for a token that nobody has", err, fault.NotJoined)
	for _, d := range []device.Device{other, phone, desk} {
		wantCode(t, "adding "+d.ID, s.AddDevice(ctx, d, hash(d)), "")
	}
	wantDevice(t, s, hash(phone), phone)
	wantList(t, s, "D", "P", "Q") // the oldest first

	wantCode(t, "renaming", s.RenameDevice(ctx, "P", "Desk phone"), "")
	phone.Name = "Desk phone"
	wantDevice(t, s, hash(phone), phone)
	wantCode(t, "renaming nobody", s.RenameDevice(ctx, "X", "x"), fault.NotFound)

	phone.LastSeen = evening.Add(time.Hour)
	wantCode(t, "seeing", s.SawDevice(ctx, "P", phone.LastSeen), "")
	wantDevice(t, s, hash(phone), phone)

	wantCode(t, "ending", s.EndDevice(ctx, "P", evening.Add(2*time.Hour)), "")
	_, err = s.DeviceByToken(ctx, hash(phone))
	wantCode(t, "asking for an ended device's token", err, fault.NotJoined)
	wantList(t, s, "D", "Q")
	wantCode(t, "ending it again", s.EndDevice(ctx, "P", evening.Add(3*time.Hour)), fault.NotFound)
	wantCode(t, "renaming an ended device", s.RenameDevice(ctx, "P", "x"), fault.NotFound)
	wantCode(t, "ending nobody", s.EndDevice(ctx, "X", evening), fault.NotFound)
}

func wantDevice(t *testing.T, s Devices, hash [32]byte, want device.Device) {
	t.Helper()
	got, err := s.DeviceByToken(t.Context(), hash)
	if err != nil {
		t.Error(err)
	}
	if !got.Created.Equal(want.Created) || !got.LastSeen.Equal(want.LastSeen) {
		t.Errorf("created %v, seen %v; want %v, %v", got.Created, got.LastSeen, want.Created, want.LastSeen)
	}
	if got.ID != want.ID || got.Name != want.Name || got.Role != want.Role {
		t.Errorf("%+v, want %+v", got, want)
	}
}

func wantList(t *testing.T, s Devices, ids ...string) {
	t.Helper()
	list, err := s.Devices(t.Context())
	if err != nil {
		t.Error(err)
	}
	if len(list) != len(ids) {
		t.Errorf("%d devices, want %q", len(list), ids)
		return
	}
	for i, d := range list {
		if d.ID != ids[i] {
			t.Errorf("device %d is %s, want %q", i, d.ID, ids)
		}
	}
}
