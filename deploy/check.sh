#!/usr/bin/env bash
# Sets up and runs every check: format and lint, types, import contracts, tests. One line for each.
set -uo pipefail
cd "$(dirname "$0")/.."
bash deploy/setup.sh dev || exit 1
export PATH="$PWD/.venv/bin:$PATH"
failed=0
run() {
    local name="$1"
    shift
    local log
    log="$(mktemp)"
    if "$@" >"$log" 2>&1; then
        printf 'ok      %s\n' "$name"
    else
        printf 'FAILED  %s\n' "$name"
        cat "$log"
        failed=1
    fi
    [ "$name" = "tests" ] && tail -n 3 "$log"
    rm -f "$log"
}
run "lint (ruff)" ruff check bot core shared tests
run "types (mypy)" mypy
run "import contracts (import-linter)" lint-imports
run "tests" pytest -n 2
if [ "$failed" -eq 0 ]; then
    echo "All checks passed."
else
    echo "Some checks failed: see above."
fi
exit "$failed"
