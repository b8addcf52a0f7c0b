#!/usr/bin/env bash
# The README's test command as somebody runs it who has just cloned the project: a JDK, Maven and git, no display, and
# none of the tools that more tests would use. The clone goes away afterwards; Maven's downloads are shared.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../../.."
command=$(grep -m1 -o '^mvn -B test$' README.md)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
git -c safe.directory="*" clone -q . "$work/ringout"
mkdir "$work/bin"
for tool in java javac mvn git sh bash env cat ls uname dirname basename tr sed grep expr cut readlink id rm mkdir mv cp \
    chmod sleep kill ps tty stty locale mktemp head tail sort wc which date; do
    if found=$(type -P "$tool"); then
        ln -s "$found" "$work/bin/$tool"
    fi
done
javac=$(readlink -f "$(command -v javac)")
cd "$work/ringout"
env -i HOME="$HOME" PATH="$work/bin" LANG=C.UTF-8 JAVA_HOME="${javac%/bin/javac}" $command < /dev/null
