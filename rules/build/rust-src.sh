#!/bin/sh
# Puts the source of the Rust standard library where `cargo -Zbuild-std` looks for it, on a machine
# that has no WASM target and reaches nothing but its package registries.
#
# Debian packages that source as `rust-src` (and `rust-web-src`). The mirrors and keys are the
# machine's own: they are read from its apt sources, and its configuration stays as it was.
# Exit 0: the source is in place. Exit 3: it cannot be had here.
set -eu

cannot() {
    echo "rust-src: $1" >&2
    exit 3
}

version=$(rustc --version | cut -d' ' -f2)
link=$(rustc --print sysroot)/lib/rustlib/src/rust
[ -e "$link/library/Cargo.lock" ] && exit 0

cache=${XDG_CACHE_HOME:-$HOME/.cache}/lintern/rust-src-$version
if [ ! -e "$cache/library/Cargo.lock" ]; then
    command -v apt-get >/dev/null || cannot "no WASM target, no source of std in the sysroot, and no apt to get it from"
    work=$(mktemp -d)
    trap 'rm -rf "$work"' EXIT
    mkdir -p "$work/lists/partial" "$work/cache/archives/partial" "$work/deb"

    # Mirrors with the key that signs them: one "key<TAB>uri" a line, from both formats of apt sources.
    cat /etc/apt/sources.list.d/*.sources 2>/dev/null | awk '
        function flush() { for (i = 1; i <= n; i++) print key "\t" uris[i]; n = 0; key = "" }
        /^[[:space:]]*$/ || /^Types:/ { flush() }
        /^URIs:/ { for (i = 2; i <= NF; i++) uris[++n] = $i }
        /^Signed-By:/ && $2 ~ /^\// { key = $2 }
        END { flush() }' >"$work/mirrors"
    cat /etc/apt/sources.list /etc/apt/sources.list.d/*.list 2>/dev/null | awk '
        $1 == "deb" { uri = ""; key = ""
            for (i = 2; i <= NF; i++) {
                if (match($i, /signed-by=[^]]*/)) key = substr($i, RSTART + 10, RLENGTH - 10)
                if (uri == "" && $i ~ /:\/\//) uri = $i
            }
            print key "\t" uri }' >>"$work/mirrors"

    # Suites in which Debian has had newer compilers than its stable release.
    sort -u "$work/mirrors" | while IFS="$(printf '\t')" read -r key uri; do
        for suite in trixie-backports bookworm-security trixie-security sid; do
            echo "deb ${key:+[signed-by=$key] }$uri $suite main"
        done
    done >"$work/sources.list"

    apt() {
        tool=$1
        shift
        "$tool" -qq -o Dir::Etc::sourcelist="$work/sources.list" -o Dir::Etc::sourceparts=/dev/null \
            -o Dir::State::lists="$work/lists" -o Dir::Cache="$work/cache" -o APT::Sandbox::User=root "$@"
    }
    # A mirror does not have every suite: what is missing is passed over.
    apt apt-get update >/dev/null 2>&1 || true
    found=$(for package in rust-src rust-web-src; do
        apt apt-cache madison "$package" | tr -d ' ' | awk -F'|' -v p="$package" -v v="$version" \
            'index($2, v "+") == 1 || index($2, v "~") == 1 || index($2, v "-") == 1 { print p "=" $2; exit }'
    done | head -n 1)
    [ -n "$found" ] || cannot "the package mirrors have no source of std for rustc $version"
    (cd "$work/deb" && apt apt-get download "$found" >/dev/null 2>&1) || cannot "cannot download $found"
    dpkg -x "$work"/deb/*.deb "$work/deb/unpacked"
    unpacked=$(echo "$work"/deb/unpacked/usr/src/rustc*)
    [ -e "$unpacked/library/Cargo.lock" ] || cannot "$found holds no source of std"
    mkdir -p "$(dirname "$cache")"
    rm -rf "$cache"
    mkdir "$cache"
    mv "$unpacked/library" "$cache/library"
fi
mkdir -p "$(dirname "$link")"
ln -sfn "$cache" "$link" || cannot "cannot link the source of std into the sysroot"
