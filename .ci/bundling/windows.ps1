# The app for Windows, as a folder and an installer for one user. NOT TRIED: written from the manuals.
# Needs Python 3.11 or newer (python.org) and, for the installer, Inno Setup 6 (iscc on the path).
# Usage, from the project's folder:  powershell -File .ci\bundling\windows.ps1
$ErrorActionPreference = "Stop"
$here = (Resolve-Path "$PSScriptRoot\..\..").Path
$work = "$here\.bundle"
New-Item -ItemType Directory -Force $work, "$here\dist" | Out-Null
if (-not (Test-Path "$work\venv")) { python -m venv "$work\venv" }
$python = "$work\venv\Scripts\python.exe"
& $python -m pip install --quiet "pyinstaller>=6.16,<7" "$here"
if ($LASTEXITCODE) { exit 1 }
$env:PYTHONHASHSEED = "0"
Push-Location $work
& $python -m PyInstaller --noconfirm --clean --log-level WARN --distpath dist --workpath work "$here\.ci\bundling\tapscore.spec"
$failed = $LASTEXITCODE
Pop-Location
if ($failed) { exit 1 }
$version = & $python -c "from importlib.metadata import version; print(version('tapscore'))"
Compress-Archive -Force "$work\dist\tapscore" "$here\dist\tapscore-$version-windows.zip"
if (Get-Command iscc -ErrorAction SilentlyContinue) {
    iscc "/DVersion=$version" "/DSource=$work\dist\tapscore" "/O$here\dist" "$here\.ci\bundling\windows.iss"
}
