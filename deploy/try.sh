#!/usr/bin/env bash
# Sets Fettle up (first time only) and opens the demo kennel's family room in this terminal.
# No token, no account. Whatever is written after the command goes to `fettle chat`.
set -euo pipefail
here="$(cd "$(dirname "$0")/.." && pwd)"
bash "$here/deploy/setup.sh" >&2
exec "$here/.venv/bin/fettle" chat "$@"
