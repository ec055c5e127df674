package rules

import (
	"diagnose.example/symptoms"
)

// edge is one causal link with the record that states it.
type edge struct {
	from, to string
	link     Link   // as written in holder
	holder   string // from for makes, to for seen_with
}

// graph holds the causal links of a set both ways; rules are its lowest nodes.
type graph struct {
	set     *Set
	in, out map[string][]edge
}

// graph is built when asked for: neither loading nor inference needs it.
func (s *Set) graph() *graph {
	g := &graph{set: s, in: map[string][]edge{}, out: map[string][]edge{}}
	for _, c := range s.Causes {
		g.makes(c.ID, c.Makes)
	}
	for _, e := range s.Effects {
		g.makes(e.ID, e.Makes)
	}
	for _, r := range s.Rules {
		for _, l := range r.SeenWith {
			g.add(edge{from: l.To, to: r.ID, link: l, holder: r.ID})
		}
	}
	return g
}

func (g *graph) makes(id string, links []Link) {
	for _, l := range links {
		g.add(edge{from: id, to: l.To, link: l, holder: id})
	}
}

func (g *graph) add(e edge) {
	g.out[e.from] = append(g.out[e.from], e)
	g.in[e.to] = append(g.in[e.to], e)
}

// reach returns everything below a node with the chance of the strongest chain that leads there.
func (g *graph) reach(id string) map[string]float64 {
	best := map[string]float64{}
	var visit func(id string, p float64)
	visit = func(id string, p float64) {
		for _, e := range g.out[id] {
			if q := p * e.link.Chance; q > best[e.to] {
				best[e.to] = q
				visit(e.to, q)
			}
		}
	}
	visit(id, 1)
	return best
}

// level returns what a cause, effect or rule is about.
func (s *Set) level(id string) symptoms.Level {
	switch r := s.index[id].(type) {
	case *Cause:
		return r.About
	case *Effect:
		return r.About
	case *Rule:
		return r.About
	}
	return symptoms.WholeMachine
}
