package whatif_test

import (
	"fmt"

	"example.com/railbook/kernel/whatif"
	"example.com/railbook/sizing"
)

// A front end sends settings as JSON and shows the state that comes back.
func ExamplePanel_Handle() {
	build, err := sizing.Open("../../testdata/sheets/turbo.toml")
	if err != nil {
		fmt.Println(err)
		return
	}
	panel, err := whatif.New(build)
	if err != nil {
		fmt.Println(err)
		return
	}
	boost := panel.Describe().Sliders[0]
	fmt.Println(boost.Name, boost.Range)
	reply := panel.Handle([]byte(`{"id": 1, "settings": {"stops": {"boost": 900}}}`))
	fmt.Printf("%s\n", reply)
	// Output:
	// Boost 7 psi to 40.5 psi over ambient, for 60 % to 150 % of the sheet's power.
	// {"id":1,"error":"slider boost has no stop 900; want 0 to 67"}
}

func ExamplePanel_State() {
	build, err := sizing.Open("../../testdata/sheets/turbo.toml")
	if err != nil {
		fmt.Println(err)
		return
	}
	panel, err := whatif.New(build)
	if err != nil {
		fmt.Println(err)
		return
	}
	state, err := panel.State(whatif.Settings{Stops: map[string]int{whatif.Boost: 39}})
	fmt.Println(state.Changes, err)
	fmt.Println(state.Verdict)
	// Output:
	// [boost 22 psi → 26.5 psi target power 640 hp → 718.7 hp, which follows] <nil>
	// The system does not carry 718.7 hp: short at the injectors; the injectors give out first, at 713.7 hp.
}
