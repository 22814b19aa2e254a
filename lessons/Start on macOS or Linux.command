#!/bin/sh
# macOS: double-click. Linux: right-click, then "Run as a Program". It looks for a Python and starts the lessons.
cd "$(dirname "$0")" || exit 1
new_enough='import sys; sys.exit(sys.version_info < (3, 11))'
for python in /Library/Frameworks/Python.framework/Versions/Current/bin/python3 /opt/homebrew/bin/python3 \
  python3.14 python3.13 python3.12 python3.11 python3; do
  if "$python" -c "$new_enough" >/dev/null 2>&1; then
    "$python" start.py "$@" && exit 0
    printf 'Press Enter to close this window. '
    read -r _
    exit 1
  fi
done
echo "The lessons need Python 3.11 or newer, and it is not on this computer yet."
echo "Get it from python.org, then start again. The page first-start.md beside this file tells how."
printf 'Press Enter to close this window. '
read -r _
exit 1
