package facts

import (
	"regexp"
	"strings"
	"testing"
)

// commented matches a fact that a starter file leaves commented out.
var commented = regexp.MustCompile(`(?m)^  # ([a-z_]+: )`)

func TestStartersParseAsTheyStandAndWithEveryLineUncommented(t *testing.T) {
	cat := Shipped()
	for _, kind := range StarterKinds {
		t.Run(kind, func(t *testing.T) {
			data, err := Starter(cat, kind)
			if err != nil {
				t.Fatal(err)
			}
			parse := ParseCase
			if kind == "shop" {
				parse = ParseShop
			}
			c, err := parse(cat, kind+".yaml", data)
			if err != nil {
				t.Fatalf("as it stands: %v", err)
			}
			stated := len(c.Values)
			c, err = parse(cat, kind+".yaml", commented.ReplaceAll(data, []byte("  $1")))
			if err != nil {
				t.Fatalf("uncommented: %v", err)
			}
			if len(c.Values) < 20 || len(c.Values) <= stated {
				t.Errorf("only %d facts are offered", len(c.Values))
			}
			// What nobody filled in must not read as an answer: in particular no
			// line may, merely uncommented, say that a sign is absent.
			for name, v := range c.Values {
				f, _ := cat.Lookup(name)
				given := name == "device.kind" || name == "battery.role"
				if !given && v.State == Stated && v.Words != f.All() {
					t.Errorf("%s: an unfilled line states %s", name, f.FormatValue(v))
				}
			}
			for line := range strings.SplitSeq(string(data), "\n") {
				if strings.HasPrefix(strings.TrimSpace(line), "#") && !commented.MatchString(line+"\n") && len(line) > starterWidth {
					t.Errorf("line too wide: %s", line)
				}
			}
		})
	}
}

func TestStarterForAnUnknownKindNamesTheNearest(t *testing.T) {
	_, err := Starter(Shipped(), "labtop")
	if err == nil || !strings.Contains(err.Error(), "laptop") {
		t.Errorf("got %v, want a hint at laptop", err)
	}
}
