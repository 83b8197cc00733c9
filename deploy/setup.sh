#!/usr/bin/env bash
# Makes the virtual environment inside the project and installs the pinned packages.
# Usage: deploy/setup.sh [EXTRAS]   for example: deploy/setup.sh dev
set -euo pipefail
cd "$(dirname "$0")/.."
extras="${1:-}"

python=""
for candidate in python3.11 python3.12 python3.13 python3; do
    if command -v "$candidate" >/dev/null 2>&1 &&
        "$candidate" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
        python="$candidate"
        break
    fi
done
if [ -z "$python" ]; then
    echo "Fettle needs Python 3.11 or newer; none was found. Install it, then run this again." >&2
    exit 1
fi

if [ ! -x .venv/bin/python ]; then
    echo "Making a virtual environment in .venv ..."
    "$python" -m venv .venv
fi

# The stamp holds what was installed from; nothing to do while it is unchanged.
want="$(cat pyproject.toml deploy/pins.txt | cksum) $extras"
stamp=".venv/installed${extras:+-$extras}"
if [ ! -f "$stamp" ] || [ "$(cat "$stamp")" != "$want" ]; then
    echo "Installing the pinned packages (a minute or two the first time) ..."
    .venv/bin/python -m pip install --progress-bar on --disable-pip-version-check \
        -c deploy/pins.txt -e ".${extras:+[$extras]}"
    printf '%s' "$want" >"$stamp"
fi
