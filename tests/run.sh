#!/usr/bin/env bash
# Installs what the tests need and runs all of them; exits non-zero on any failure.
#
#     bash tests/run.sh            every check, long trials in their short form
#     bash tests/run.sh --whole    long trials over all draws, models and engines
set -euo pipefail
cd "$(dirname "$0")/.."

case "${1-}" in
  "") ;;
  --whole) export PULLMAP_WHOLE=1 ;;
  *) echo "$0: $1 is no option; allowed: --whole" >&2; exit 2 ;;
esac

step() { printf '\n== %s\n' "$1"; }

scratch=$(mktemp -d)
trap 'kill $(jobs -p) 2>/dev/null || true; rm -rf "$scratch"' EXIT

# Starts a function beside what follows, under a title; its output is kept until `gather`.
titles=() children=()
beside() {
  ( set -euo pipefail; "$2" ) >"$scratch/beside.${#titles[@]}" 2>&1 &
  titles+=("$1") children+=($!)
}

# Waits for all that was started, prints what each has printed, and fails when one has.
gather() {
  local i code failed=0
  for i in "${!titles[@]}"; do
    code=0
    wait "${children[$i]}" || code=$?
    step "${titles[$i]}"
    cat "$scratch/beside.$i"
    if ((code)); then echo "failed with $code: ${titles[$i]}" >&2; failed=1; fi
  done
  titles=() children=()
  return "$failed"
}

venv=tests/.venv
python="$venv/bin/python"
modules=tests/browser/node_modules

install() {
  local missing=()
  python3 -m venv --help >/dev/null 2>&1 || missing+=(python3-venv)
  command -v chromium >/dev/null 2>&1 || missing+=(chromium)
  command -v firefox-esr >/dev/null 2>&1 || missing+=(firefox-esr)
  command -v node >/dev/null 2>&1 || missing+=(nodejs)
  command -v npm >/dev/null 2>&1 || missing+=(npm)
  if ((${#missing[@]})); then
    apt-get update -qq
    DEBIAN_FRONTEND=noninteractive apt-get install -y -qq "${missing[@]}" >/dev/null
  fi
  if ! cmp -s tests/independent/requirements.txt "$venv/installed.txt"; then
    rm -rf "$venv"
    python3 -m venv "$venv"
    "$venv/bin/pip" install --quiet --disable-pip-version-check -r tests/independent/requirements.txt
    cp tests/independent/requirements.txt "$venv/installed.txt"
  fi
  if ! cmp -s tests/browser/package-lock.json "$modules/installed.json"; then
    npm ci --prefix tests/browser --silent --no-audit --no-fund --ignore-scripts
    cp tests/browser/package-lock.json "$modules/installed.json"
  fi
}

independent() {
  local out="$scratch/fields" words
  mkdir "$out"
  "$python" tests/independent/check_fields.py --self-test
  for words in "broadbar-alu" "oval" "broadbar-alu --set rig.upper.offset_mm=12 --set rig.lower.offset_mm=-10" "pear --set rig.gate=open"; do
    # shellcheck disable=SC2086
    "$PULLMAP_BIN" map $words --fields "$out/fields.vtu" --out "$out/map" >/dev/null
    echo "-- $words"
    "$python" tests/independent/check_fields.py "$out/fields.npz"
    "$python" tests/independent/read_vtu.py "$out/fields.vtu" "$out/fields.npz"
  done
}

circles() { python3 tests/circles.py; }
faults() { python3 tests/faults.py; }
texts() { python3 tests/texts.py; }

# What is fetched comes while the program is compiled.
beside "Python packages for the independent check (tests/.venv), browsers and their driver (tests/browser/node_modules)" install

step "The program as it is tested"
# With the tests beside it: by itself its libraries would have other features, and be compiled again for the tests.
cargo build --release --workspace --lib --bins --tests --examples
export PULLMAP_BIN="$PWD/target/release/pullmap"
gather

# By itself: the server of the page is timed.
step "Tests in Rust"
cargo test --release --workspace

# One compiles while another runs.
beside "Does no file use another in a circle?" circles
beside "Do the tests bite? One seeded fault at a time, in a copy" faults
beside "Does anything hang on a text? The program beside one whose every text is written otherwise" texts
beside "Independent check: another program's stiffness on the exported fields" independent
gather

# One engine after the other, each with two lanes of its own: what works in the background stands still where more wants the cores.
step "The live page in a real browser: Chromium"
node tests/browser/run.mjs

step "The live page in a second engine: Firefox"
PULLMAP_BROWSER=firefox node tests/browser/run.mjs

printf '\nAll tests passed.\n'
