package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"strings"
)

// debianPackages are what tests run beside Go, one a line with its use.
var debianPackages = []string{
	"chromium",          // pages as a browser shows them
	"ffmpeg",            // a camera for the scanner's test
	"fonts-dejavu-core", // text in pictures made from labels
	"gcc",               // the race detector
	"glpk-utils",        // an independent solver for blend plans
	"libc6-dev",         // the race detector
	"librsvg2-bin",      // pictures of label and chart SVG
	"poppler-utils",     // pictures and text of label PDF
	"python3",           // the auditors' program of docs/journal.md
	"python3-scipy",     // a second independent solver and statistics
	"zbar-tools",        // an independent reader of QR codes
}

// debianPackagesForR are what -r adds.
var debianPackagesForR = []string{
	"r-base-core",
	"r-cran-lme4",
	"r-cran-nlme",
}

// installPackages installs what is missing if it may, and says what to do otherwise.
func installPackages(ctx context.Context, o options, r *report) {
	want := debianPackages
	if o.r {
		want = append(want, debianPackagesForR...)
	}
	if _, err := exec.LookPath("dpkg-query"); err != nil {
		r.note("this is no Debian system; tests need the programs of: %s", strings.Join(want, " "))
		return
	}
	missing := missingPackages(ctx, want)
	if len(missing) == 0 {
		r.note("all %d are there", len(want))
		r.pass()
		return
	}
	install := "apt-get install -y --no-install-recommends " + strings.Join(missing, " ")
	if os.Geteuid() != 0 {
		r.fail("Debian packages", "as root: apt-get update && "+install)
		return
	}
	r.note("installing %s", strings.Join(missing, " "))
	output, err := aptGet(ctx, "update")
	if err == nil {
		output, err = aptGet(ctx, append([]string{"install", "-y", "--no-install-recommends"}, missing...)...)
	}
	if err == nil {
		if still := missingPackages(ctx, want); len(still) > 0 {
			err = fmt.Errorf("still missing: %s", strings.Join(still, " "))
		}
	}
	r.result("Debian packages: "+install, output, err)
}

// missingPackages returns which packages are not installed.
func missingPackages(ctx context.Context, want []string) (missing []string) {
	for _, name := range want {
		status, err := exec.CommandContext(ctx, "dpkg-query", "-W", "-f", "${Status}", name).Output()
		if err != nil || string(status) != "install ok installed" {
			missing = append(missing, name)
		}
	}
	return missing
}

func aptGet(ctx context.Context, args ...string) (output string, err error) {
	cmd := exec.CommandContext(ctx, "apt-get", args...)
	cmd.Env = append(os.Environ(), "DEBIAN_FRONTEND=noninteractive")
	out, err := cmd.CombinedOutput()
	return string(out), err
}
