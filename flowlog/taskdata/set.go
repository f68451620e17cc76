package taskdata

import (
	"cmp"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"runproof/flowlog"
	"runproof/input"
)

// Set is a folder or an archive with task data in it.
type Set struct {
	Devices []Device
	file    string // for messages
	fsys    fs.FS
	logs    []logFile
	remarks []flowlog.Remark
}

// logFile is one time log: its head and its records.
type logFile struct {
	name  string // TLG00003
	task  string
	dir   string
	head  string // path of the XML
	body  string // path of the records
	bytes int64  // length of the records that the task gives, or 0
}

// title is what a person chooses the log by.
func (l logFile) title() string {
	if l.dir == "." {
		return l.name
	}
	return l.dir + "/" + l.name
}

// limits of a set: more files or deeper folders than any terminal writes.
const (
	maxFiles = 20000
	maxSets  = 1000
)

// Owns says whether a folder or an archive has task data in it.
func Owns(fsys fs.FS) bool {
	for _, f := range listing(fsys) {
		if isTaskFile(f) || isLogHead(f) {
			return true
		}
	}
	return false
}

// listing is the paths of the set's files in order of name, without what
// archivers add of their own.
func listing(fsys fs.FS) []string {
	var files []string
	fs.WalkDir(fsys, ".", func(name string, d fs.DirEntry, err error) error {
		switch base := path.Base(name); {
		case err != nil:
			return nil
		case d.IsDir() && (base == "__MACOSX" || strings.Count(name, "/") > 12):
			return fs.SkipDir
		case d.IsDir() || strings.HasPrefix(base, "._"):
			return nil
		}
		files = append(files, name)
		if len(files) >= maxFiles {
			return fs.SkipAll
		}
		return nil
	})
	slices.Sort(files)
	return files
}

func isTaskFile(name string) bool { return strings.EqualFold(path.Base(name), "TASKDATA.XML") }

func taskFiles(files []string) (found []string) {
	for _, f := range files {
		if isTaskFile(f) {
			found = append(found, f)
		}
	}
	return found
}

func isLogHead(name string) bool {
	base := strings.ToUpper(path.Base(name))
	return len(base) == len("TLG00001.XML") && strings.HasPrefix(base, "TLG") && strings.HasSuffix(base, ".XML")
}

// Open finds the time logs of a set. file is its name, for messages.
func Open(fsys fs.FS, file string) (*Set, error) {
	s := &Set{file: file, fsys: fsys}
	files := listing(fsys)
	// Names are compared without case: sets mix .BIN and .bin.
	byName := map[string]string{}
	for _, f := range files {
		if _, twice := byName[strings.ToUpper(f)]; !twice {
			byName[strings.ToUpper(f)] = f
		}
	}
	named := map[string]bool{}
	for i, f := range taskFiles(files) {
		if i == maxSets {
			return nil, input.Fault{
				Place: input.Place{File: file}, What: fmt.Sprintf("there are more than %d TASKDATA.XML in it", maxSets),
				Remedy: "name the folder of one of them",
			}
		}
		s.taskFile(f, byName, named)
	}
	s.unnamed(files, byName, named)
	if len(s.logs) == 0 {
		return nil, input.Fault{
			Place: input.Place{File: file}, What: "the task data hold no time log that could be read" + s.why(),
			Remedy: "copy the whole TASKDATA folder, with TLG00001.XML and TLG00001.BIN and so on",
		}
	}
	return s, nil
}

// unnamed adds the logs that no task names: those beside a TASKDATA.XML, or all
// where there is none. A log in some other folder is rather a copy.
func (s *Set) unnamed(files []string, byName map[string]string, named map[string]bool) {
	beside, anyTask := map[string]bool{}, false
	for _, f := range files {
		if isTaskFile(f) {
			beside[path.Dir(f)], anyTask = true, true
		}
	}
	for _, f := range files {
		key := strings.ToUpper(strings.TrimSuffix(f, path.Ext(f)))
		switch {
		case !isLogHead(f) || named[key]:
		case anyTask && !beside[path.Dir(f)]:
			s.remarks = append(s.remarks, flowlog.Remark{What: f + " lies apart from every TASKDATA.XML, and none names it: left out"})
		default:
			s.addLog(path.Dir(f), logRef{name: strings.ToUpper(path.Base(key))}, byName, named)
		}
	}
}

// why is what Open met before it found nothing.
func (s *Set) why() string {
	if len(s.remarks) == 0 {
		return ""
	}
	return ": " + s.remarks[0].What
}

// taskFile takes in one TASKDATA.XML, what it pulls in and the logs it names.
func (s *Set) taskFile(name string, byName map[string]string, named map[string]bool) {
	var t tree
	s.readXML(&t, name)
	dir := path.Dir(name)
	for i := 0; i < len(t.pulls) && i < maxFiles; i++ {
		key := strings.ToUpper(path.Join(dir, t.pulls[i]+".XML"))
		file, there := byName[key]
		if !there {
			s.lost("%s names %s.XML, which is not there", name, t.pulls[i])
			continue
		}
		delete(byName, key) // a file that pulls in itself is read once
		s.readXML(&t, file)
	}
	s.Devices = append(s.Devices, t.devices...)
	for _, ref := range t.logs {
		s.addLog(dir, ref, byName, named)
	}
}

func (s *Set) readXML(t *tree, name string) {
	f, err := s.fsys.Open(name)
	if err == nil {
		defer f.Close()
		err = t.read(f)
	}
	if err != nil {
		s.lost("%s breaks off: %v", name, err)
	}
}

// addLog adds a log once, if both its files are there.
func (s *Set) addLog(dir string, ref logRef, byName map[string]string, named map[string]bool) {
	key := strings.ToUpper(path.Join(dir, ref.name))
	if named[key] || ref.name == "" {
		return
	}
	named[key] = true
	l := logFile{name: strings.ToUpper(ref.name), task: ref.task, bytes: ref.bytes, dir: dir, head: byName[key+".XML"], body: byName[key+".BIN"]}
	switch {
	case l.head == "" && l.body == "":
		s.lost("time log %s is named but not there", l.title())
	case l.head == "":
		s.lost("time log %s has no head, %s.XML", l.title(), l.name)
	case l.body == "":
		s.lost("time log %s has no records, %s.BIN", l.title(), l.name)
	default:
		s.logs = append(s.logs, l)
	}
}

func (s *Set) lost(format string, args ...any) {
	s.remarks = append(s.remarks, flowlog.Remark{Lost: true, What: fmt.Sprintf(format, args...)})
}

// Logs are the titles of the time logs, in order of name.
func (s *Set) Logs() []string {
	var titles []string
	for _, l := range s.logs {
		titles = append(titles, l.title())
	}
	slices.Sort(titles)
	return titles
}

// chosen are the logs that part asks for; "" asks for all.
func (s *Set) chosen(part string) ([]logFile, error) {
	if part == "" {
		return s.logs, nil
	}
	var found []logFile
	for _, l := range s.logs {
		if strings.EqualFold(l.title(), part) {
			return []logFile{l}, nil
		}
		if strings.EqualFold(l.name, path.Base(part)) && part == path.Base(part) {
			found = append(found, l)
		}
	}
	switch len(found) {
	case 1:
		return found, nil
	case 0:
		return nil, input.Fault{
			Place: input.Place{File: s.file}, What: fmt.Sprintf("there is no time log %.60q", part),
			Remedy: "there " + isAre(len(s.logs)) + input.OneOf(shortList(s.Logs())),
		}
	}
	titles := make([]string, len(found))
	for i, l := range found {
		titles[i] = l.title()
	}
	return nil, input.Fault{
		Place: input.Place{File: s.file}, What: fmt.Sprintf("%d time logs are called %s", len(found), part),
		Remedy: "name one of them with its folder: " + input.OneOf(shortList(titles)),
	}
}

func isAre(n int) string {
	if n == 1 {
		return "is "
	}
	return "are "
}

func shortList(titles []string) []string {
	const most = 12
	if len(titles) <= most {
		return titles
	}
	return append(slices.Clone(titles[:most]), fmt.Sprintf("%d more", len(titles)-most))
}

// byStart puts logs in the order of their first records.
func byStart(logs []*stream) {
	slices.SortStableFunc(logs, func(a, b *stream) int {
		return cmp.Or(cmp.Compare(a.ns, b.ns), cmp.Compare(a.file.title(), b.file.title()))
	})
}
