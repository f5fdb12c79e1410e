#!/usr/bin/env bash
# The hook of .pre-commit-hooks.yaml as a user runs it: `pre-commit` from its registry, a repository with a plan, and the
# built program on the path. It must stop a plan with a violation, also when only a shared schedule was changed, and let
# a clean one pass.
#
#   tests/ci/hook.sh [FOLDER OF THE PROGRAM]
set -euo pipefail
cd "$(dirname "$0")/../.."
top=$PWD
program=$(cd "${1:-target/debug}" && pwd)
[ -x "$program/lintern" ] || { echo "there is no lintern in $program; run \`cargo build -p lintern\`"; exit 2; }
export PATH="$program:$PATH"
export LINTERN_CONFIG=""

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export PRE_COMMIT_HOME="$work/cache"
install() {
    python3 -m venv "$work/venv" &&
        "$work/venv/bin/pip" install --quiet --disable-pip-version-check 'pre-commit==4.*'
}
if ! install; then
    echo "NOT RUN: the hook, because pre-commit could not be installed. It needs python3 with venv, and a package index." >&2
    exit 0
fi
pre_commit="$work/venv/bin/pre-commit"

"$pre_commit" validate-manifest .pre-commit-hooks.yaml
echo "the manifest is valid"

commit() {
    git -C "$1" add -A
    git -C "$1" -c user.name=tests -c user.email=tests@example.org commit --quiet --message "$2"
}
git init --quiet "$work/hook"
cp "$top/.pre-commit-hooks.yaml" "$work/hook/"
commit "$work/hook" "The hook"

site=$work/site
git init --quiet "$site"
mkdir "$site/sites" "$site/schedules"
echo "lintern: 1" >"$site/lintern.yaml"
cat >"$site/schedules/standard.yaml" <<'YAML'
schedule:
  luminaires:
    well-6: { power: 6 W, apparent-power: 7 VA, load: constant-power, nominal: 12 V, input: { min: 9 V, max: 15 V }, current: ac-or-dc }
  cables:
    burial-12-2: { conductor: 12 AWG, stranding: stranded, insulation: 60 degC }
  supplies:
    box-150:
      rating: 150 VA
      output-current: ac
      outputs: [{ name: "12", volts: 12 V, limit: 12.5 A, protection: 15 A, source-resistance: 12 mohm }]
      input-volts: 120 V
YAML
cat >"$site/sites/two-lamps.yaml" <<'YAML'
plan: 1
project: { name: Two lamps, code: nec-2023, occupancy: one-family-dwelling }
use: [../schedules/standard.yaml]
supplies:
  - { id: S1, type: box-150, feed: { circuit: LT-3, breaker: 20 A } }
luminaires:
  - { id: L1, type: well-6 }
  - { id: L2, type: well-6 }
runs:
  - { id: R1, cable: burial-12-2, route: [S1, L1, L2], lengths: [60 ft, 20 ft] }
YAML
commit "$site" "A plan"

# As `pre-commit` runs it before a commit of what was changed.
hook() {
    (cd "$site" && git add -A && "$pre_commit" try-repo "$work/hook" lintern --verbose) >"$work/log" 2>&1
}
expect() {
    local wanted=$1 text=$2 what=$3 got=0
    hook || got=$?
    if [ "$got" -ne "$wanted" ] || ! grep -q -- "$text" "$work/log"; then
        cat "$work/log"
        echo "$what: exit $got, expected $wanted and \"$text\""
        exit 1
    fi
    echo "$what: exit $got"
}
echo "# Nothing else." >>"$site/sites/two-lamps.yaml"
expect 0 "Passed" "a clean plan"
sed -i.old 's/rating: 150 VA/rating: 15 VA/' "$site/schedules/standard.yaml"
rm "$site/schedules/standard.yaml.old"
expect 1 "loading/overloaded-supply" "a shared schedule that spoils a plan"
git -C "$site" checkout --quiet HEAD -- schedules
echo "plan: 1" >"$site/sites/empty.yaml"
echo "runs: [" >>"$site/sites/empty.yaml"
expect 1 "sites/empty.yaml" "a plan that can't be read"
