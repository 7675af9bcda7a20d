#!/usr/bin/env bash
# The app for macOS, as a disk image. NOT TRIED: written from the manuals. It is not signed, so that the
# first start needs "Open" in the Finder's menu of the app.
# Usage, from the project's folder: bash .ci/bundling/macos.sh
set -euo pipefail
cd "$(dirname "$0")/../.."
here=$PWD
work="$here/.bundle"
mkdir -p "$work" dist
[ -x "$work/venv/bin/python" ] || python3 -m venv "$work/venv"
"$work/venv/bin/python" -m pip install --quiet "pyinstaller>=6.16,<7" .
export PYTHONHASHSEED=0
cd "$work"
venv/bin/python -m PyInstaller --noconfirm --clean --log-level WARN \
    --distpath dist --workpath work "$here/.ci/bundling/tapscore.spec"
version=$(venv/bin/python -c "from importlib.metadata import version; print(version('tapscore'))")
hdiutil create -ov -volname tapscore -srcfolder dist/tapscore.app -format UDZO \
    "$here/dist/tapscore-$version-macos.dmg"
