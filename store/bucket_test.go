package store_test

import (
	"crypto/md5"
	"encoding/hex"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"

	"runproof/ledger"
	"runproof/store"
)

// bucket is an object store on loopback that speaks as much of the S3 protocol as
// keeping files takes: PUT, GET, HEAD and DELETE of whole objects, path style.
type bucket struct {
	mu      sync.Mutex
	objects map[string][]byte
	unsound bool // gives other bytes than were put
}

func (b *bucket) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	b.mu.Lock()
	defer b.mu.Unlock()
	body, ok := b.objects[r.URL.Path]
	switch r.Method {
	case http.MethodPut:
		b.objects[r.URL.Path], _ = io.ReadAll(r.Body)
		sum := md5.Sum(b.objects[r.URL.Path])
		w.Header().Set("ETag", `"`+hex.EncodeToString(sum[:])+`"`)
	case http.MethodDelete:
		delete(b.objects, r.URL.Path)
		w.WriteHeader(http.StatusNoContent)
	default:
		if !ok {
			w.WriteHeader(http.StatusNotFound)
			if r.Method == http.MethodGet {
				io.WriteString(w, `<Error><Code>NoSuchKey</Code></Error>`)
			}
			return
		}
		if b.unsound {
			body = []byte(strings.ToUpper(string(body)))
		}
		w.Header().Set("Last-Modified", "Wed, 25 Nov 2026 00:00:00 GMT")
		w.Header().Set("ETag", `"x"`)
		http.ServeContent(w, r, "", noted, strings.NewReader(string(body)))
	}
}

var noted = ticking()()

// The same files in a bucket: through the client library of that protocol, which is
// not ours, to a server on loopback.
func TestFilesInABucket(t *testing.T) {
	t.Setenv("AWS_ACCESS_KEY_ID", "test")
	t.Setenv("AWS_SECRET_ACCESS_KEY", "test")
	t.Setenv("AWS_EC2_METADATA_DISABLED", "true")
	b := &bucket{objects: map[string][]byte{}}
	s := httptest.NewServer(b)
	defer s.Close()
	c := databases[0].at(t)
	c.Now, c.Chance, c.Create = ticking(), seeded(1), true
	c.Files = "s3://files?region=us-east-1&use_path_style=true&request_checksum_calculation=when_required&response_checksum_validation=when_required&endpoint=" + s.URL
	l := opened(t, c)
	north, _ := scenario(t, l)
	if len(b.objects) != 5 { // three fits, a picture, a quote
		t.Errorf("%d objects", len(b.objects))
	}
	for _, e := range read(t, l, func(tx *store.Tx) ([]ledger.Entry, error) { return tx.History(north.ID) }) {
		for _, f := range e.Files {
			if got := text(t, l, f); int64(len(got)) != f.Bytes {
				t.Errorf("%s has %d bytes, not %d", f.Name, len(got), f.Bytes)
			}
		}
	}
	r := restored(t, store.Config{DB: c.DB + "2", Now: c.Now, Chance: c.Chance}, backup(t, l)) // from a bucket into a folder
	if dump(t, r) != dump(t, l) {
		t.Error("restored differs from its source")
	}
	if f := must[store.Forgetting](t)(l.Forget(ctx, "Ada Grower", "Ana", store.ForgetOptions{Erase: true})); len(f.Erased) != 1 || len(b.objects) != 4 {
		t.Errorf("%+v, %d objects", f, len(b.objects))
	}
	b.unsound = true
	f := keep(t, l, "new.txt", "words")
	if _, err := l.Bytes(ctx, f); err == nil {
		t.Error("other bytes went unseen")
	}
}
