#!/usr/bin/env bash
# Installs what "mvn -B -Pdist -DskipTests package" made, as a user would, and runs it: the zip from a folder of its own,
# the .deb in a clean Debian with nothing else in it but what the package asks for. Windows are opened under Xvfb. Nothing
# may be printed on stderr.
# Where a tool is missing, says which and skips; with RINGOUT_INSTALL=required in the environment that is a failure.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../../.."

work=$(mktemp -d)
display=
cleanup() {
    [ -z "$display" ] || kill "$display" 2> /dev/null || true
    rm -rf --one-file-system "$work"
}
trap cleanup EXIT

fail() {
    echo "install.sh: $*" >&2
    exit 1
}

skip() {
    [ "${RINGOUT_INSTALL:-}" != required ] || fail "$*"
    echo "install.sh: skipped: $*"
    exit 0
}

zip=$(ls target/ringout-[0-9]*.zip 2> /dev/null) || fail "there is no zip in target; run mvn -B -Pdist -DskipTests package"
for tool in unzip Xvfb xwininfo import identify; do
    command -v "$tool" > /dev/null || skip "$tool is missing"
done

# One display for all windows, open to local programs of any user: those in the clean Debian have no cookie.
exec 3> "$work/number"
Xvfb -displayfd 3 -screen 0 1600x1000x24 -ac -nolisten tcp > "$work/xvfb.log" 2>&1 &
display=$!
for _ in $(seq 100); do
    [ ! -s "$work/number" ] || break
    sleep 0.1
done
[ -s "$work/number" ] || fail "Xvfb does not start: $(cat "$work/xvfb.log")"
DISPLAY=:$(cat "$work/number")
export DISPLAY

# quietly COMMAND...: it has to succeed, and to print nothing on stderr; its output is left in $work/out.
quietly() {
    "$@" > "$work/out" 2> "$work/err" || fail "$* exits with $?: $(cat "$work/out" "$work/err")"
    [ ! -s "$work/err" ] || fail "$* prints on stderr: $(cat "$work/err")"
}

# says TEXT: the last command printed it.
says() {
    grep -qF -- "$1" "$work/out" || fail "\"$1\" is not in what it printed: $(cat "$work/out")"
}

# A window with Ringout's title is there, and something is drawn in it: a blank screen has one colour or two.
drawn() {
    xwininfo -root -tree | grep -q '"Ringout": (' && [ "$(import -window root png:- | identify -format %k -)" -gt 100 ]
}

# opens COMMAND...: its window comes up, is drawn, stays, and nothing is printed; then it is ended.
opens() {
    local pid up=
    "$@" > "$work/out" 2> "$work/err" < /dev/null &
    pid=$!
    for _ in $(seq 60); do
        ! drawn || { up=yes && break; }
        kill -0 "$pid" 2> /dev/null || fail "$* ends without a window: $(cat "$work/out" "$work/err")"
        sleep 1
    done
    [ -n "$up" ] || fail "$* shows no window within a minute: $(cat "$work/err")"
    sleep 2
    kill -0 "$pid" 2> /dev/null || fail "$* ends by itself: $(cat "$work/err")"
    kill "$pid"
    wait "$pid" || true
    [ ! -s "$work/err" ] || fail "$* prints on stderr: $(cat "$work/err")"
    for _ in $(seq 20); do
        xwininfo -root -tree | grep -q '"Ringout": (' || return 0
        sleep 0.5
    done
    fail "the window of $* stays after its end"
}

version=$(basename "$zip" .zip)
version=${version#ringout-}

# The zip: in a folder with a space in its name, started by a link as one would put into a bin folder.
mkdir "$work/some folder" "$work/bin"
unzip -q "$zip" -d "$work/some folder"
unpacked="$work/some folder/ringout-$version"
ln -s "../some folder/ringout-$version/ringout" "$work/bin/ringout"
quietly "$work/bin/ringout" --version
says "ringout $version"
quietly "$work/bin/ringout" plan "$unpacked/plans/drivers-desk.yaml"
says "R1"
# The PDF is made with the parts of Java that want most from the system.
quietly "$work/bin/ringout" sheet "$unpacked/plans/drivers-desk.yaml" --out "$work/sheet.pdf"
opens "$work/bin/ringout"
if JAVA_HOME=$work/nowhere "$work/bin/ringout" --version > /dev/null 2> "$work/err"; then
    fail "the zip starts with a JAVA_HOME that is none"
fi
grep -q "install Java 17" "$work/err" || fail "no advice where Java is missing: $(cat "$work/err")"
echo "install.sh: $zip runs"

# The .deb.
deb=$(ls target/ringout_"$version"_*.deb 2> /dev/null) || skip "there is no .deb in target: built without dpkg-deb"
[ "$(id -u)" = 0 ] || skip "$deb needs root to be installed"
for tool in mmdebstrap unshare desktop-file-validate; do
    command -v "$tool" > /dev/null || skip "$tool is missing"
done
# shellcheck source=/dev/null
suite=$(. /etc/os-release && echo "${VERSION_CODENAME:-}")
sources=/etc/apt/sources.list.d/debian.sources
[ -f "$sources" ] || sources=/etc/apt/sources.list
[ -n "$suite" ] && [ -f "$sources" ] || skip "this is no Debian with a package source"

root=$work/root
mkdir "$root"
mmdebstrap --quiet --mode=root --format=directory --variant=apt --skip=check/empty --aptopt='APT::Install-Recommends "false"' \
    --customize-hook="copy-in $deb /root" \
    --customize-hook="chroot \"\$1\" apt-get -q -y install /root/$(basename "$deb")" \
    "$suite" "$root" "$sources" > "$work/mmdebstrap.log" 2>&1 || fail "it does not install: $(tail -n 30 "$work/mmdebstrap.log")"
chroot "$root" useradd --create-home builder

# inside COMMAND...: becomes that command, as an ordinary user of the clean Debian.
inside() {
    exec unshare --mount sh -c 'mount -t proc proc "$1/proc" && shift && exec "$@"' sh "$root" \
        chroot --userspec=builder:builder "$root" /usr/bin/env -i HOME=/home/builder PATH=/usr/local/bin:/usr/bin:/bin \
        LANG=C.UTF-8 DISPLAY="$DISPLAY" "$@"
}
within() {
    (inside "$@")
}

quietly within ringout --version
says "ringout $version"
quietly within ringout plan /usr/share/doc/ringout/examples/drivers-desk.yaml
says "R1"
quietly within ringout sheet /usr/share/doc/ringout/examples/drivers-desk.yaml --out /home/builder/sheet.pdf
cmp "$work/sheet.pdf" "$root/home/builder/sheet.pdf" || fail "the sheet is not the one that the zip makes"
quietly within ringout devices
within env JAVA_TOOL_OPTIONS=-Xlog:class+load:file=/home/builder/classes.txt ringout --version > /dev/null 2>&1 \
    || fail "it does not start where it is asked which classes it takes from the archive"
grep -q "java.lang.Object source: shared objects file" "$root/home/builder/classes.txt" \
    || fail "its Java has no archive of its classes, or one that does not fit"
opens inside ringout
quietly desktop-file-validate "$root/usr/share/applications/ringout.desktop"
cmp src/dist/linux/70-ringout.rules "$root/usr/lib/udev/rules.d/70-ringout.rules" || fail "the udev rule is not in place"
chroot "$root" dpkg --verify ringout || fail "installed files differ from the package's"
chroot "$root" dpkg --purge ringout > "$work/purge.log" 2>&1 || fail "it cannot be removed: $(cat "$work/purge.log")"
left=$(find "$root" -xdev -path "$root/home" -prune -o -path "$root/root" -prune -o -path "$root/tmp" -prune -o -iname '*ringout*' -print)
[ -z "$left" ] || fail "removed, it leaves $left"
echo "install.sh: $deb installs in a clean $suite, runs, and goes away"
