#!/bin/sh
# What @vscode/test-electron starts in place of a desktop VS Code.
exec "$COTTER_NODE" "$(dirname "$0")/shim.ts" "$@"
