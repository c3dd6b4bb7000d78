package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"strings"

	"example.org/croze/internal/blend"
)

var reduceCommand = command{
	name: "reduce",
	does: "works out the water that brings spirit down to a strength, in portions if wished",
	args: "--volume V --from S --to S [--portion L] [--json]",
	more: "Volumes are litres at 20 °C; water_kg is a mass in vacuum, weighed is what a balance\n" +
		"in air shows. Let each portion rest and gauge it before it is bottled.",
	example: "croze reduce --volume 30 --from 62 --to 46 --portion 12",
	set:     setReduce,
}

func setReduce(f *flag.FlagSet) func(world, []string) error {
	volume := numberFlag(f, "volume", "of the spirit, `V` in litres at 20 °C")
	from := numberFlag(f, "from", "strength of the spirit, `S` in % vol")
	to := numberFlag(f, "to", "strength wanted, `S` in % vol")
	portion := numberFlag(f, "portion", "what the measure holds, `L` in litres, water included")
	asJSON := f.Bool("json", false, "as JSON")
	return func(w world, args []string) error {
		if err := noArguments(args); err != nil {
			return err
		}
		reduced, err := reduceAs(volume, from, to, portion)
		if err != nil {
			return err
		}
		if *asJSON {
			return writeJSON(w.out, reduced)
		}
		return printReducing(w.out, reduced, to.value)
	}
}

func reduceAs(volume, from, to, portion *number) (r blend.Reducing, err error) {
	v, err := volume.need("volume", "litres of spirit")
	if err != nil {
		return r, err
	}
	strong, err := from.need("from", "strength of the spirit in % vol")
	if err != nil {
		return r, err
	}
	weak, err := to.need("to", "strength wanted in % vol")
	if err != nil {
		return r, err
	}
	if portion.given && portion.value == 0 {
		return r, errors.New("--portion: 0: must be above 0")
	}
	r, err = blend.ReduceInPortions(v, strong, weak, portion.value)
	var invalid *blend.InvalidPlan
	if errors.As(err, &invalid) {
		return r, errors.New("--" + strings.ReplaceAll(invalid.Error(), "\n", "\n--"))
	}
	return r, err
}

func printReducing(out io.Writer, r blend.Reducing, to float64) error {
	fmt.Fprintf(out, "Add %.3f kg of water (%.3f L; a balance shows %.3f kg).\n", r.WaterKg, r.WaterL, r.WeighsKg)
	_, err := fmt.Fprintf(out, "It makes %.3f L of %s %% vol; %.3f L is lost to contraction.\n", r.VolumeL, fixed(to, 2), r.ContractionL)
	if err != nil || len(r.Portions) < 2 {
		return err
	}
	return printPortions(out, r.Portions)
}
