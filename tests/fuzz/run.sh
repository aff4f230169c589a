#!/usr/bin/env bash
# Fuzzes one target within fixed bounds of time and memory, for a number of seconds:
#   bash tests/fuzz/run.sh TARGET SECONDS [options of the engine]
# Needs a nightly toolchain and cargo-fuzz (cargo install cargo-fuzz).
set -euo pipefail
cd "$(dirname "$0")/../.."
target=$1 seconds=$2
shift 2
exec nice -n 19 cargo +nightly fuzz run --fuzz-dir tests/fuzz "$target" -- \
  -max_total_time="$seconds" -max_len=120000 -timeout=10 -rss_limit_mb=2048 -malloc_limit_mb=1024 \
  -print_final_stats=1 "$@"
