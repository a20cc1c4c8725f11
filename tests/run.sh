#!/usr/bin/env bash
# Installs what the tests need and runs all of them. Prints a closing line with the counts; exits non-zero on any failure.
set -euo pipefail
cd "$(dirname "$0")/.."

step() { printf '\n== %s\n' "$1"; }

step "Python packages for the independent check (tests/.venv)"
if ! python3 -m venv --help >/dev/null 2>&1; then
  apt-get update -qq && apt-get install -y -qq python3-venv
fi
venv=tests/.venv
if ! cmp -s tests/independent/requirements.txt "$venv/installed.txt"; then
  rm -rf "$venv"
  python3 -m venv "$venv"
  "$venv/bin/pip" install --quiet --disable-pip-version-check -r tests/independent/requirements.txt
  cp tests/independent/requirements.txt "$venv/installed.txt"
fi

step "Browsers and their driver (tests/browser/node_modules)"
missing=()
command -v chromium >/dev/null 2>&1 || missing+=(chromium)
command -v firefox-esr >/dev/null 2>&1 || missing+=(firefox-esr)
command -v node >/dev/null 2>&1 || missing+=(nodejs)
command -v npm >/dev/null 2>&1 || missing+=(npm)
if ((${#missing[@]})); then
  apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq "${missing[@]}" >/dev/null
fi
modules=tests/browser/node_modules
if ! cmp -s tests/browser/package-lock.json "$modules/installed.json"; then
  npm ci --prefix tests/browser --silent --no-audit --no-fund --ignore-scripts
  cp tests/browser/package-lock.json "$modules/installed.json"
fi

step "The program as it is tested"
# With the tests beside it: by itself its libraries would have other features, and be compiled again for the tests.
cargo build --release --workspace --lib --bins --tests --examples
export PULLMAP_BIN="$PWD/target/release/pullmap"

step "Tests in Rust"
cargo test --release --workspace

step "Does no file use another in a circle?"
python3 tests/circles.py

step "Do the tests bite? One seeded fault at a time, in a copy"
python3 tests/faults.py

step "Does anything hang on a text? The program beside one whose every text is written otherwise"
python3 tests/texts.py

step "Independent check: another program's stiffness on the exported fields"
python="$venv/bin/python"
"$python" tests/independent/check_fields.py --self-test
out=$(mktemp -d)
trap 'rm -rf "$out"' EXIT
for words in "broadbar-alu" "oval" "broadbar-alu --set rig.upper.offset_mm=12 --set rig.lower.offset_mm=-10" "pear --set rig.gate=open"; do
  # shellcheck disable=SC2086
  "$PULLMAP_BIN" map $words --fields "$out/fields.vtu" --out "$out/map" >/dev/null
  echo "-- $words"
  "$python" tests/independent/check_fields.py "$out/fields.npz"
  "$python" tests/independent/read_vtu.py "$out/fields.vtu" "$out/fields.npz"
done

# One engine after the other: side by side they take as long on two cores, and work in the background stands still.
step "The live page in a real browser: Chromium"
node tests/browser/run.mjs

step "The live page in a second engine: Firefox"
PULLMAP_BROWSER=firefox node tests/browser/run.mjs

printf '\nAll tests passed.\n'
