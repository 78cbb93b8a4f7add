#!/usr/bin/env bash
# fresh.sh RESULTS: proves that a bare Debian 12 with git alone is enough. Called by tests/run.sh --slow=fresh.
#
# Makes such a system in a folder (LIBSEAL_FRESH, default /tmp/libseal_fresh), clones the committed state into it, and
# runs there, without any outside data: tests/run.sh, tests/run.sh again (which may install nothing), examples/run.sh, and the
# three pages of the first hour with their installations.
set -euo pipefail
cd "$(dirname "$0")/.."
source .ci/install.sh
results=$1
root=${LIBSEAL_FRESH:-/tmp/libseal_fresh}

[ "$(id -u)" = 0 ] || die "making a system in a folder needs root"
need_packages debootstrap git

# Only a folder of our own making is ever removed, and never one with something mounted in it.
unmount() { if mountpoint -q "$root/proc"; then umount "$root/proc"; fi; }
if [ -e "$root" ]; then
    [ -f "$root/libseal_fresh_marker" ] || die "$root exists and was not made by this script; remove it or set LIBSEAL_FRESH"
    unmount
    rm -rf --one-file-system "$root"
fi
mkdir -p "$root"
touch "$root/libseal_fresh_marker"

say "making a bare Debian 12 in $root"
debootstrap --variant=minbase --include=git,ca-certificates bookworm "$root" http://deb.debian.org/debian \
    >"$results/debootstrap.txt" || { tail -n 20 "$results/debootstrap.txt"; die "debootstrap failed"; }
mount -t proc proc "$root/proc"
trap unmount EXIT

# What this network needs is taken along: name service, certificates, proxies, pip's and apt's settings of them.
cp -L /etc/resolv.conf /etc/hosts "$root/etc/"
cp -L /etc/ssl/certs/ca-certificates.crt "$root/etc/ssl/certs/ca-certificates.crt"
for file in /etc/pip.conf /etc/apt/apt.conf.d/*proxy*; do
    if [ -f "$file" ]; then cp "$file" "$root$file"; fi
done
settings=(HOME=/root PATH=/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin LANG=C.UTF-8)
while IFS= read -r name; do settings+=("$name=${!name}"); done \
    < <(compgen -e | grep -E '^(PIP_(INDEX_URL|CERT|PROXY|DEFAULT_TIMEOUT)|SSL_CERT_FILE|(https?|ftp|no)_proxy|(HTTPS?|FTP|NO)_PROXY)$' || true)

git clone --quiet --no-hardlinks "$PWD" "$root/checkout"

# inside NAME COMMAND: one step of the proof, timed and counted.
inside() {
    local name=$1 start=$SECONDS
    shift
    say "in the bare system: $name"
    if chroot "$root" env -i "${settings[@]}" bash -c "cd /checkout && $*" </dev/null >"$results/$name.txt" 2>&1; then
        echo "$name" >>"$results/fresh.passed"
    else
        echo "$name" >>"$results/fresh.failed"
        tail -n 60 "$results/$name.txt"
    fi
    tail -n 1 "$results/$name.txt"
    say "$name: $((SECONDS - start)) s"
}

inside first_run bash tests/run.sh
inside second_run "bash tests/run.sh | tee /tmp/second && ! grep -q '^== installing' /tmp/second"
inside examples bash examples/run.sh

# walk NAME FOLDER PYTHON: a first hour as its page says it: in the folder what is typed once, then the page from top to bottom.
walk() {
    inside "walk_$1" "mkdir -p $2 && cd $2 &&
        python3 /checkout/tests/support/page_steps.py --setup /checkout/docs/tutorial_$1.md | sed s,PATH_OF_LIBSEAL,/checkout, >/tmp/setup &&
        bash -e /tmp/setup && $3 /checkout/tests/support/page_steps.py /checkout/docs/tutorial_$1.md"
}
walk embedding /checkout python3
walk analyst /tmp/analyst .venv/bin/python
walk calendars /tmp/calendars .venv/bin/python
