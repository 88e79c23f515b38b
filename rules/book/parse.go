package book

import (
	"bytes"
	"fmt"
	"runtime"
	"sync/atomic"

	"gopkg.in/yaml.v3"
)

// parsed is a rule file as YAML, with what came after its first document.
type parsed struct {
	doc, second yaml.Node
	err, end    error
}

// parse reads the YAML of a rule file. The library panics on some broken input;
// that is an error of the file.
func parse(data []byte) (p parsed) {
	defer func() {
		if fault := recover(); fault != nil {
			p.err = fmt.Errorf("the file is not well-formed YAML: %v", fault)
		}
	}()
	if len(data) > MaxBytes {
		return p
	}
	dec := yaml.NewDecoder(bytes.NewReader(data))
	if p.err = dec.Decode(&p.doc); p.err == nil {
		p.end = dec.Decode(&p.second)
	}
	return p
}

// parsing parses files on all processors, since that is half of what a start
// costs. The results come in the order of the files.
func parsing(files []File) []<-chan parsed {
	out, in := make([]<-chan parsed, len(files)), make([]chan parsed, len(files))
	for i := range files {
		in[i] = make(chan parsed, 1)
		out[i] = in[i]
	}
	var next atomic.Int32
	for range min(runtime.GOMAXPROCS(0), len(files)) {
		go func() {
			for {
				i := int(next.Add(1)) - 1
				if i >= len(files) {
					return
				}
				in[i] <- parse(files[i].Data)
			}
		}()
	}
	return out
}
