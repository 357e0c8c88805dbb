#!/bin/sh
# Puts the browser that the page tests drive on this machine, where that can be done without
# asking: on Debian, as root or with a sudo that wants no password. Anywhere else it leaves the
# machine as it is, and the page tests say how to get the browser (see tests/conftest.py).
set -eu

command -v chromium >/dev/null 2>&1 && exit 0
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
$as_root DEBIAN_FRONTEND=noninteractive apt-get -qq update &&
    $as_root DEBIAN_FRONTEND=noninteractive apt-get -qq install -y --no-install-recommends \
        chromium fonts-dejavu-core >/dev/null ||
    echo "chromium could not be installed: see the lines above"
