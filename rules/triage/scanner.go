package triage

// scanner walks over a JSON text that is known to be valid.
type scanner struct {
	text string
	at   int
}

func (s *scanner) space() {
	for s.at < len(s.text) {
		switch s.text[s.at] {
		case ' ', '\t', '\r', '\n':
			s.at++
		default:
			return
		}
	}
}

// peek is the next byte that is no space, 0 at the end.
func (s *scanner) peek() byte {
	s.space()
	if s.at >= len(s.text) {
		return 0
	}
	return s.text[s.at]
}

// object visits the keys of an object; visit has to take the value.
func (s *scanner) object(visit func(key string)) {
	s.peek()
	for s.at++; s.peek() != '}'; {
		_, key := s.value()
		s.peek()
		s.at++ // the colon
		visit(unescaped(key))
		if s.peek() == ',' {
			s.at++
		}
	}
	s.at++
}

// array visits the items of an array; visit has to take the item.
func (s *scanner) array(visit func()) {
	s.peek()
	for s.at++; s.peek() != ']'; {
		visit()
		if s.peek() == ',' {
			s.at++
		}
	}
	s.at++
}

// value takes a whole value: its first byte, and its text.
func (s *scanner) value() (kind byte, text string) {
	kind = s.peek()
	start, depth := s.at, 0
	for s.at < len(s.text) {
		switch c := s.text[s.at]; {
		case c == '"':
			s.quoted()
		case c == '{' || c == '[':
			depth++
			s.at++
		case (c == '}' || c == ']') && depth > 0:
			depth--
			s.at++
		case depth == 0:
			s.word()
		default:
			s.at++
		}
		if depth == 0 {
			break
		}
	}
	return kind, s.text[start:s.at]
}

// quoted passes over a string.
func (s *scanner) quoted() {
	for s.at++; s.text[s.at] != '"'; s.at++ {
		if s.text[s.at] == '\\' {
			s.at++
		}
	}
	s.at++
}

// word passes over a number, true, false or null.
func (s *scanner) word() {
	for s.at < len(s.text) {
		switch s.text[s.at] {
		case ',', '}', ']', ':', ' ', '\t', '\r', '\n':
			return
		}
		s.at++
	}
}
