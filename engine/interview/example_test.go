package interview_test

import (
	"fmt"

	"diagnose.example/engine/interview"
	"diagnose.example/rules"
)

func ExampleTalk() {
	set, err := rules.Default()
	if err != nil {
		fmt.Println(err)
		return
	}
	told := interview.Told{Name: "single, 250 cm3", Strokes: "4", Cylinders: "1"}
	talk, err := interview.New(set, "job-7.yaml", "7", told, interview.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, typed := range []string{"slide", "gravity", "fades", "rebuild"} {
		if _, err := talk.Next(); err != nil {
			fmt.Println(err)
		}
		if _, err := talk.Answer(typed); err != nil {
			fmt.Println(err)
		}
	}
	q, err := talk.Next()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(q.Group, "is asked next")
	fmt.Print(string(talk.Bytes()))
	// Output:
	// rider is asked next
	// sheet: 1
	// job: "7"
	// machine:
	//   name: single, 250 cm3
	//   strokes: 4
	//   cylinders: 1
	//   carburetor_kind: slide
	//   tap_kind: gravity
	// history: [after-rebuild]
	// observed:
	//   fades_at_speed: yes
}
