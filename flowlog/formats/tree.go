package formats

import (
	"fmt"
	"io"
	"io/fs"
	"path"
	"strings"

	"runproof/flowlog"
	"runproof/flowlog/taskdata"
	"runproof/input"
)

// openTree opens what lies in a folder or an archive: task data, or else the
// one file in it.
func openTree(src Source, o Options) (flowlog.Reader, error) {
	r, err := openInside(src, o)
	if err != nil || !src.cut {
		return r, err
	}
	return remarked{r, flowlog.Remark{Lost: true, What: "the archive lost its end; what its front holds was read"}}, nil
}

// remarked is a reader that has one thing more to say.
type remarked struct {
	flowlog.Reader
	first flowlog.Remark
}

func (r remarked) Remarks() []flowlog.Remark {
	return append([]flowlog.Remark{r.first}, flowlog.RemarksOf(r.Reader)...)
}

func openInside(src Source, o Options) (flowlog.Reader, error) {
	if taskdata.Owns(src.Folder) {
		return o.through(src, openTaskData)
	}
	name, err := onlyFile(src)
	if err != nil {
		return nil, err
	}
	f, err := src.Folder.Open(name)
	if err != nil {
		return nil, flowlog.Damaged(input.Place{File: src.Name}, err.Error(), 0, 0, 0)
	}
	again := func() (io.ReadCloser, error) { return src.Folder.Open(name) }
	inner := Source{Name: path.Join(src.Name, name), Stream: f, again: again}
	r, closer, err := Open(inner, func(inside *Options) { *inside = o })
	if err != nil {
		f.Close()
		return nil, err
	}
	return &closing{Reader: r, done: func() { closer(); f.Close() }}, nil
}

func openTaskData(src Source, o Options) (flowlog.Reader, error) {
	set, err := taskdata.Open(src.Folder, src.Name)
	if err != nil {
		return nil, err
	}
	return set.Log(src.Part, o.Keep)
}

// onlyFile is the file of a folder that can be meant.
func onlyFile(src Source) (string, error) {
	var files []string
	fs.WalkDir(src.Folder, ".", func(name string, d fs.DirEntry, err error) error {
		base := path.Base(name)
		switch {
		case err != nil:
			return nil
		case d.IsDir() && base == "__MACOSX":
			return fs.SkipDir
		case d.IsDir() || strings.HasPrefix(base, "."):
			return nil
		case base == "[Content_Types].xml":
			files = []string{base}
			return fs.SkipAll
		case src.Part == "" || strings.EqualFold(src.Part, name):
			files = append(files, name)
		}
		if len(files) > 100 {
			return fs.SkipAll
		}
		return nil
	})
	at := input.Place{File: src.Name}
	switch {
	case len(files) == 1 && files[0] == "[Content_Types].xml":
		return "", input.Fault{Place: at, What: "this is a spreadsheet, not a flow log", Remedy: "save the sheet as CSV"}
	case len(files) == 1:
		return files[0], nil
	case len(files) == 0:
		return "", input.Fault{Place: at, What: "there is no log in it", Remedy: "name the log itself, or a folder with TASKDATA.XML in it"}
	}
	return "", input.Fault{
		Place: at, What: fmt.Sprintf("it holds %d files, and none is TASKDATA.XML", len(files)),
		Remedy: "put # and the name of one behind it, such as #" + files[0],
	}
}

// closing closes what lies behind a reader once it has ended.
type closing struct {
	flowlog.Reader
	done func()
}

func (c *closing) Read(b *flowlog.Batch) error {
	err := c.Reader.Read(b)
	if err != nil && c.done != nil {
		c.done()
		c.done = nil
	}
	return err
}

// Remarks are those of the reader behind.
func (c *closing) Remarks() []flowlog.Remark { return flowlog.RemarksOf(c.Reader) }
