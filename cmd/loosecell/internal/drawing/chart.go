package drawing

import (
	"bytes"
	"fmt"
	"image/color"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"
)

// chart is a plot in the hand of this package: grey bands, lines told apart by
// their dashes, each named where it ends.
type chart struct {
	*plot.Plot
}

const chartHeight = 186.0

var (
	inkColour  = color.Gray{Y: 0x1a}
	bandColour = color.Gray{Y: 0xdd}
	deepBand   = color.Gray{Y: 0xbb}
	gridColour = color.Gray{Y: 0xe2}
)

// dashes tell lines apart.
var dashes = [][]vg.Length{nil, {7, 3}, {2, 3}, {9, 3, 2, 3}}

func newChart(xName, yName string) *chart {
	p := plot.New()
	p.X.Label.Text, p.Y.Label.Text = xName, yName
	for _, style := range []*font.Font{&p.X.Label.TextStyle.Font, &p.Y.Label.TextStyle.Font, &p.X.Tick.Label.Font, &p.Y.Tick.Label.Font} {
		*style = font.Font{Typeface: "Liberation", Variant: "Sans", Size: letters}
	}
	for _, axis := range []*plot.Axis{&p.X, &p.Y} {
		axis.Label.TextStyle.Color, axis.Tick.Label.Color, axis.LineStyle.Color = inkColour, inkColour, inkColour
		axis.Padding = 0
		axis.Tick.Marker = few{}
	}
	grid := plotter.NewGrid()
	grid.Horizontal.Color, grid.Vertical.Color = gridColour, gridColour
	p.Add(grid)
	return &chart{Plot: p}
}

// few is at most about six ticks with short labels.
type few struct{}

func (few) Ticks(low, high float64) []plot.Tick {
	var out []plot.Tick
	step := niceStep((high - low) / 5)
	if step <= 0 || !finite(low, high, step) {
		return nil
	}
	for i := math.Ceil(low/step - 1e-9); i*step <= high+step*1e-9; i++ {
		out = append(out, plot.Tick{Value: i * step, Label: strconv.FormatFloat(math.Round(i*step*1e6)/1e6+0, 'f', -1, 64)})
	}
	return out
}

// niceStep is the next of 1, 2, 5 times a power of ten.
func niceStep(x float64) float64 {
	if !(x > 0) {
		return 0
	}
	power := math.Pow(10, math.Floor(math.Log10(x)))
	for _, m := range []float64{1, 2, 5} {
		if m*power >= x*(1-1e-9) {
			return m * power
		}
	}
	return 10 * power
}

// decades are the powers of ten of a logarithmic axis.
type decades struct{}

func (decades) Ticks(low, high float64) []plot.Tick {
	var out []plot.Tick
	for v := math.Pow(10, math.Floor(math.Log10(low))); v <= high*1.0001; v *= 10 {
		if v >= low*0.9999 {
			out = append(out, plot.Tick{Value: v, Label: strconv.FormatFloat(v, 'f', -1, 64)})
		}
	}
	return out
}

// band fills between two courses.
func (c *chart) band(low, high plotter.XYs, shade color.Color) error {
	ring := append(plotter.XYs{}, high...)
	for i := len(low) - 1; i >= 0; i-- {
		ring = append(ring, low[i])
	}
	area, err := plotter.NewPolygon(ring)
	if err != nil {
		return err
	}
	area.Color, area.LineStyle.Width = shade, 0
	c.Add(area)
	return nil
}

// curve draws a course.
func (c *chart) curve(at plotter.XYs, dash int, width float64) error {
	l, err := plotter.NewLine(at)
	if err != nil {
		return err
	}
	l.LineStyle = draw.LineStyle{Color: inkColour, Width: vg.Length(width), Dashes: dashes[dash%len(dashes)]}
	c.Add(l)
	return nil
}

// rule draws a limit from edge to edge with its words above it, at the left.
func (c *chart) rule(from, to plotter.XY, dash int, text string) error {
	if err := c.curve(plotter.XYs{from, to}, dash, 1); err != nil {
		return err
	}
	return c.say(from, text, draw.XLeft, 3)
}

// say writes words at a place of the chart.
func (c *chart) say(at plotter.XY, text string, side draw.XAlignment, up float64) error {
	if text == "" {
		return nil
	}
	l, err := plotter.NewLabels(plotter.XYLabels{XYs: plotter.XYs{at}, Labels: []string{text}})
	if err != nil {
		return err
	}
	l.TextStyle[0].Font = font.Font{Typeface: "Liberation", Variant: "Sans", Size: letters}
	l.TextStyle[0].Color, l.TextStyle[0].XAlign = inkColour, side
	l.Offset = vg.Point{X: vg.Length(map[bool]float64{true: -3, false: 4}[side == draw.XRight]), Y: vg.Length(up)}
	c.Add(l)
	return nil
}

// picture renders the chart.
func (c *chart) picture(name, title, desc, caption string) (Picture, error) {
	canvas := vgsvg.NewWith(vgsvg.UseWH(width, chartHeight))
	area := draw.New(canvas)
	c.BackgroundColor = color.White
	c.Draw(draw.Crop(area, 2, -14, 2, -8))
	var out bytes.Buffer
	if _, err := canvas.WriteTo(&out); err != nil {
		return Picture{}, err
	}
	body, err := inside(out.String())
	if err != nil {
		return Picture{}, err
	}
	return Picture{Name: name, Title: title, Desc: desc, Caption: caption, W: width, H: chartHeight, body: body}, nil
}

// inside is what stands within the svg element of a whole document; the fonts
// are named by the picture.
func inside(document string) (string, error) {
	start := strings.Index(document, "<svg")
	end := strings.LastIndex(document, "</svg>")
	if start < 0 || end < start {
		return "", fmt.Errorf("drawing: the plotting library wrote no svg element")
	}
	_, body, found := strings.Cut(document[start:end], ">")
	if !found {
		return "", fmt.Errorf("drawing: the svg element of the plotting library does not end")
	}
	// A light edge keeps words readable where a line runs below them.
	return strings.ReplaceAll(strings.TrimLeft(body, "\n"), "font-family:Liberation Sans;", "paint-order:stroke;stroke:#ffffff;stroke-width:3px;"), nil
}
