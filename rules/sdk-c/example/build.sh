#!/bin/sh
# Builds the rule with Debian's packages clang and lld: sh build.sh [FILE.wasm]
set -eu
cd "$(dirname "$0")"
out=${1:-crowded-junction.wasm}
clang --target=wasm32-unknown-unknown -O2 -std=c11 -Wall -Wextra -Werror -ffreestanding -fno-builtin -nostdlib \
    -isystem ../freestanding -I ../bindings -Wl,--no-entry -Wl,-z,stack-size=65536 -Wl,--strip-debug \
    crowded_junction.c ../bindings/rule_module.c ../bindings/rule_module_component_type.o ../freestanding/freestanding.c \
    -o "$out"
