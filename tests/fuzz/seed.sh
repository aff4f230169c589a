#!/usr/bin/env bash
# Lays out the inputs that fuzzing starts from, under tests/fuzz/corpus (which is never committed):
#   BARLOOM_DATA=FOLDER bash tests/fuzz/seed.sh
# From the example suite, from the community MusicXML suite when BARLOOM_DATA names the folder of
# open data, and from every further file or folder that is named on the command line.
set -euo pipefail
cd "$(dirname "$0")"
mkdir -p corpus/{container,musicxml,mei,sidecar,journal} artifacts

# Copies a file under a name without an ending, so that no other tool takes it for a score.
seed() { cp "$2" "corpus/$1/seed-$(basename "$2" | tr -c 'A-Za-z0-9\n' -)"; }

# Files that are longer than inputs may be would only be cut in the middle.
sort_in() {
  find "$@" -type f -size -120k | while read -r file; do
    case $file in
      *.mxl)
        seed container "$file"
        unzip -p "$file" '*.xml' '*.musicxml' -x 'META-INF/*' 2>/dev/null |
          head -c 120000 >"corpus/musicxml/seed-$(basename "$file" .mxl)" || true
        ;;
      *.xml | *.musicxml) seed musicxml "$file" ;;
      *.mei) seed mei "$file" ;;
    esac
  done
}

sort_in ../../examples
if [ -n "${BARLOOM_DATA:-}" ]; then sort_in "$BARLOOM_DATA/musicxml-suite"; fi
if [ $# -gt 0 ]; then sort_in "$@"; fi
# The other targets know a file to begin with.
for target in container sidecar journal; do : >"corpus/$target/seed-empty"; done
for target in corpus/*; do echo "$target: $(find "$target" -type f | wc -l) inputs"; done
