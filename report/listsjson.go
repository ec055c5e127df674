package report

import (
	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

// ObservationsJSON returns the vocabulary as data for [encoding/json]: a list of objects with "id", "question", "where", "about",
// "kind", "words" (word to meaning, in the order of the vocabulary), "normal", "several", "unit", "range" (in that unit; null unless a number) and "who";
// then what belongs to taking it.
func ObservationsJSON(k *rules.Set) any { return each(k.Vocabulary.All(), observationJSON) }

func observationJSON(o *symptoms.Observation) pairs {
	words := pairs{}
	for _, w := range o.Words {
		words = append(words, pair{clean(w.Word), clean(w.Means)})
	}
	limits := any(nil)
	if o.Kind == symptoms.Number {
		limits = []figure{figure(o.Range[0]), figure(o.Range[1])}
	}
	return pairs{
		{"id", clean(o.ID)}, {"question", clean(o.Question)}, {"where", o.Where.String()}, {"about", o.About.String()},
		{"kind", o.Kind.String()}, {"words", words}, {"normal", clean(o.Normal)}, {"several", o.Several}, {"unit", clean(o.Unit)},
		{"range", limits}, {"who", o.Who.String()}, {"how", clean(o.How)}, {"minutes", figure(o.Minutes)}, {"tools", texts(o.Tools)},
		{"caution", clean(o.Caution)}, {"common", o.Common}, {"uncertainty", figure(o.Uncertainty)}, {"around", clean(o.Around)},
	}
}

// CausesJSON returns the causes as data for [encoding/json]: a list of objects with "id", "title", "about", "system" and "prior" (the
// share per place before any history); then "text" and "history" with the factors on the prior odds.
func CausesJSON(k *rules.Set) any {
	return each(k.Causes, func(c *rules.Cause) pairs {
		history := pairs{}
		for _, o := range c.Prior.Odds {
			history = append(history, pair{clean(o.History), figure(o.Factor)})
		}
		return pairs{
			{"id", clean(c.ID)}, {"title", clean(c.Title)}, {"about", c.About.String()}, {"system", clean(c.System)},
			{"prior", figure(c.Prior.Base)}, {"text", clean(c.Text)}, {"history", history},
		}
	})
}

// RepairsJSON returns the repairs as data for [encoding/json]: a list of objects with "id", "title" and "cures" (the ids of the causes);
// then "cure_chances" with how reliably, "about", "minutes", "opens", "parts", "how", "caution" and "after".
func RepairsJSON(k *rules.Set) any {
	return each(k.Repairs, func(r *rules.Repair) pairs {
		cures, chances := []string{}, pairs{}
		for _, l := range r.Cures {
			cures = append(cures, clean(l.To))
			chances = append(chances, pair{clean(l.To), figure(l.Chance)})
		}
		return pairs{
			{"id", clean(r.ID)}, {"title", clean(r.Title)}, {"cures", cures}, {"cure_chances", chances}, {"about", r.About.String()},
			{"minutes", figure(r.Minutes)}, {"opens", clean(r.Opens)}, {"parts", texts(r.Parts)}, {"how", clean(r.How)},
			{"caution", clean(r.Caution)}, {"after", texts(r.After)},
		}
	})
}

// SourcesJSON returns the published sources as data for [encoding/json]: a list of objects with "id", "title", "by", "year", "section",
// "seen" and "text", the line of a bibliography.
func SourcesJSON(k *rules.Set) any {
	var published []*rules.Source
	for _, s := range k.Sources {
		if s.Kind == rules.Published {
			published = append(published, s)
		}
	}
	return each(published, func(s *rules.Source) pairs {
		return pairs{
			{"id", clean(s.ID)}, {"title", clean(s.Title)}, {"by", clean(s.By)}, {"year", s.Year}, {"section", clean(s.Section)},
			{"seen", clean(s.Seen)}, {"text", clean(s.String())},
		}
	})
}
