#!/usr/bin/env bash
# Passes every test of the project, doing its own set-up on a fresh Debian or Ubuntu machine:
#   bash tests/run.sh
# It installs the few system packages that are missing (as root or with sudo; otherwise it prints the
# command and stops with exit code 2), makes a Python environment for the outside references under the
# target folder, and then checks formatting, lints, tests, documentation and the example suite.
# Rust itself is expected from rustup. With CI=true a missing reference is a failure.
set -euo pipefail
cd "$(dirname "$0")/.."

target=${CARGO_TARGET_DIR:-target}
references=$target/references
started=$SECONDS

say() { printf '\n== %s (%d s)\n' "$*" "$((SECONDS - started))"; }
stop() { printf 'tests/run.sh: %s\n' "$*" >&2; exit 2; }

# Prints the Debian packages whose tool is not there yet.
missing_packages() {
  command -v cc >/dev/null || echo gcc libc6-dev
  command -v git >/dev/null || echo git
  command -v pdfinfo >/dev/null || echo poppler-utils
  command -v python3 >/dev/null || echo python3
  python3 -c 'import ensurepip, venv' 2>/dev/null || echo python3-venv
}

install_packages() {
  local packages as_root=()
  packages=$(missing_packages | tr '\n' ' ')
  [ -n "$packages" ] || return 0
  if ! command -v apt-get >/dev/null; then
    stop "please install what these Debian packages hold, then run this again: $packages"
  fi
  if [ "$(id -u)" -ne 0 ]; then
    if command -v sudo >/dev/null && { [ -t 0 ] || sudo -n true 2>/dev/null; }; then
      as_root=(sudo)
    else
      stop "please run as root, then run this again: apt-get update && apt-get install -y $packages"
    fi
  fi
  say "installing $packages"
  "${as_root[@]}" apt-get update -q
  # One word a package is meant here.
  # shellcheck disable=SC2086
  "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
    apt-get install -y -q --no-install-recommends $packages
}

need_rust() {
  if ! command -v cargo >/dev/null && [ -x "$HOME/.cargo/bin/cargo" ]; then
    export PATH="$HOME/.cargo/bin:$PATH"
  fi
  command -v cargo >/dev/null || stop "cargo is missing: please install Rust with rustup"
  cargo fmt --version >/dev/null 2>&1 && cargo clippy --version >/dev/null 2>&1 ||
    stop "rustfmt or clippy is missing: rustup component add rustfmt clippy"
}

# The environment is made again only when the wanted versions change.
make_references() {
  local wanted=tests/references/requirements.txt
  cmp -s "$wanted" "$references/installed.txt" && return 0
  say "making the Python environment for the references"
  python3 -m venv --clear "$references"
  "$references/bin/pip" install --quiet --disable-pip-version-check -r "$wanted"
  cp "$wanted" "$references/installed.txt"
}

# Open test data lies beside the checkout, when it is there.
find_data() {
  if [ -z "${BARLOOM_DATA:-}" ] && [ -d ../shared/data ]; then
    BARLOOM_DATA=$(cd ../shared/data && pwd)
    export BARLOOM_DATA
  fi
  if [ -z "${BARLOOM_DATA:-}" ]; then
    echo "BARLOOM_DATA is not set and no test data folder lies beside the checkout:"
    echo "the orchestral movements, the community suite and the schema are not checked in this run."
  fi
}

# What git sees changed; empty outside a checkout.
state_of_checkout() { git status --porcelain 2>/dev/null && git diff 2>/dev/null || true; }

install_packages
before=$(state_of_checkout)
need_rust
make_references
find_data

say "formatting"
cargo fmt --all --check
say "lints"
cargo clippy --workspace --all-targets --locked -- -D warnings
say "tests"
cargo test --workspace --locked
say "documentation"
RUSTDOCFLAGS="-D warnings" cargo doc --workspace --no-deps --document-private-items --locked
if [ -f examples/tide-mill/compose/main.py ]; then
  say "example suite is what its source makes"
  "$references/bin/python3" examples/tide-mill/compose/main.py --check
fi
if [ "$(state_of_checkout)" != "$before" ]; then
  git status --short
  echo "tests/run.sh: the run changed files of the checkout (listed above)" >&2
  exit 1
fi
say "all checks passed"
