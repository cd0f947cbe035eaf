#!/usr/bin/env bash
# Rewrites testdata/NUMBERS.md from what the tests, the benchmarks and the
# closed-loop trial print. Takes some minutes.
set -euo pipefail
cd "$(dirname "$0")/.."
out=$(mktemp)
trap 'rm -f "$out"' EXIT
go test -v -count=1 ./... > "$out" 2>&1 || { grep -E '^(---|FAIL)' "$out"; exit 1; }
go test ./... -run '^$' -bench . -benchtime 0.3s -p 1 >> "$out" 2>&1
systems=${SYSTEMS:-400} seed=${SEED:-20261}
go run . trial --systems "$systems" --seed "$seed" | .ci/trialbars "chargehand trial --systems $systems --seed $seed" >> "$out"
.ci/release >> "$out"
go run ./.ci/numbers < "$out" > testdata/NUMBERS.md
wc -l testdata/NUMBERS.md
