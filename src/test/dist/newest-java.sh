#!/usr/bin/env bash
# What was built, with the newest Java on this computer: nothing on stderr, in the terminal and in the window. Skips with
# the reason where there is none newer than 17, or no display can be had. RINGOUT_NEWEST_JAVA names its folder, else it is
# looked for in /usr/lib/jvm. After "mvn -B -DskipTests package".
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../../.."

skip() {
    echo "newest-java.sh: skipped: $*"
    exit 0
}

fail() {
    echo "newest-java.sh: $*" >&2
    exit 1
}

[ -f target/ringout.jar ] || fail "there is no target/ringout.jar: mvn -B -DskipTests package"
newest=${RINGOUT_NEWEST_JAVA:-}
version=${newest:+$("$newest/bin/java" -version 2>&1 | sed -n 's/.* version "\([0-9]*\).*/\1/p')}
version=${version:-0}
if [ -z "$newest" ]; then
    for home in /usr/lib/jvm/*/; do
        is=$(sed -n 's/^JAVA_VERSION="\([0-9]*\).*/\1/p' "$home/release" 2> /dev/null || true)
        [ "${is:-0}" -le "$version" ] || { version=$is && newest=${home%/}; }
    done
fi
[ "$version" -gt 17 ] || skip "no Java newer than 17 is installed"
java=$newest/bin/java

work=$(mktemp -d)
pids=()
trap 'kill "${pids[@]}" 2> /dev/null || true; rm -rf "$work"' EXIT
export HOME=$work

# quietly COMMAND...: it has to succeed, and to print nothing on stderr.
quietly() {
    "$@" > "$work/out" 2> "$work/err" < /dev/null || fail "$* exits with $?: $(cat "$work/err")"
    [ ! -s "$work/err" ] || fail "$* prints on stderr: $(cat "$work/err")"
}

quietly "$java" -jar target/ringout.jar --version
quietly "$java" -jar target/ringout.jar devices
quietly "$java" -jar target/ringout.jar demo --terminal
quietly "$java" -jar target/ringout.jar sheet fixtures/plans/drivers-desk.yaml --out "$work/sheet.pdf"
echo "newest-java.sh: Java $version is silent in the terminal"

command -v Xvfb > /dev/null || skip "the window: Xvfb is missing"
Xvfb -displayfd 3 -screen 0 1280x1024x24 -nolisten tcp 3> "$work/number" 2> /dev/null &
pids+=($!)
for _ in $(seq 50); do
    [ ! -s "$work/number" ] || break
    sleep 0.1
done
DISPLAY=:$(cat "$work/number")
export DISPLAY
# As the start script of the zip starts it, docs/install.md tells why.
options=$(sed -n 's/^exec "$java" \(.*\) "$@"$/\1/p' src/dist/zip/ringout)
[ -n "$options" ] || fail "the start script of the zip does not tell its options as it did"
# shellcheck disable=SC2086 # several words
"$java" $options -jar target/ringout.jar demo > "$work/out" 2> "$work/err" < /dev/null &
window=$!
pids+=("$window")
sleep "${RINGOUT_WINDOW_SECONDS:-15}"
kill -0 "$window" 2> /dev/null || fail "the window ends by itself: $(cat "$work/out" "$work/err")"
kill -TERM "$window"
status=0
wait "$window" || status=$?
[ "$status" = 143 ] || fail "ended by TERM, the window's exit status is $status instead of 143"
[ ! -s "$work/err" ] || fail "the window prints on stderr: $(cat "$work/err")"
[ ! -s "$work/out" ] || fail "there is no window: $(cat "$work/out")"
echo "newest-java.sh: Java $version is silent in the window, too"
