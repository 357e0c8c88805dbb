#!/bin/sh
# Puts what the page tests need on this machine, where that can be done without asking: on Debian,
# as root or with a sudo that wants no password. Anywhere else it leaves the machine as it is, and
# the page tests say what is missing (see tests/conftest.py).
set -eu

# libatomic: the program that drives the browser is linked against it and does not bring it along.
ready() {
    command -v chromium >/dev/null 2>&1 && ls /usr/lib/*/libatomic.so.1 >/dev/null 2>&1
}

ready && exit 0
command -v apt-get >/dev/null 2>&1 || exit 0
grep -qsx 'ID=debian' /etc/os-release || exit 0

if [ "$(id -u)" -eq 0 ]; then
    as_root=env
elif command -v sudo >/dev/null 2>&1 && sudo -n true 2>/dev/null; then
    as_root="sudo -n env"
else
    exit 0
fi

echo "installing Debian's chromium for the page tests (once)"
log=$(mktemp)
trap 'rm -f "$log"' EXIT
if ! {
    $as_root DEBIAN_FRONTEND=noninteractive apt-get -q update &&
        $as_root DEBIAN_FRONTEND=noninteractive apt-get -q install -y --no-install-recommends \
            chromium libatomic1 fonts-dejavu-core
} >"$log" 2>&1 </dev/null; then
    tail -n 20 "$log"
    echo "chromium could not be installed: the lines above say why"
fi
