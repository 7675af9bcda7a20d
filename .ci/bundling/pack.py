"""Make archives of the folder that PyInstaller left: what is in it, a .tar.xz and a .deb.

Usage: ``pack.py FOLDER OUT`` with the Python of the bundle's environment; ``SOURCE_DATE_EPOCH`` is
the one date in what is made, so that twice the same gives the same bytes.
"""

import gzip
import os
import re
import shutil
import subprocess
import sys
import tarfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path

HERE = Path(__file__).resolve().parent
RESOURCES = HERE.parents[1] / "resources"
EPOCH = int(os.environ["SOURCE_DATE_EPOCH"])
NOT_IN_IT = {"matplotlib", "setuptools"}
"""Asked for by a library, and left out by tapscore.spec."""
DEPENDS = ("libc6 (>= 2.31)", "libgl1", "libegl1", "libxcb-cursor0", "fontconfig")
"""What Qt opens by name and is therefore in no list of libraries."""
OPENED_BY_NAME = ("libpython", "libpulse-simple")
"""Libraries that nothing is linked with, and that are needed all the same."""
WHERE_IT_WAS_BUILT = ("RECORD", "direct_url.json")
"""Of each package: pip's notes, which hold paths of the computer that built it."""
FREE_OF_CHANGE = re.compile(r"lib(python|scipy|gfortran|quadmath|Qt|pyside|shiboken|icu)")
"""Libraries that come along in the .deb, too: no Debian package of every release has them."""


@cache
def needed_by(path: Path) -> frozenset[str]:
    """Names of the libraries that a program or library is linked with."""
    told = subprocess.run(["readelf", "-dW", path], capture_output=True, text=True, check=False)
    return frozenset(re.findall(r"\(NEEDED\).*\[(.+)\]", told.stdout))


def is_elf(path: Path) -> bool:
    """Whether a file is a program or library of Linux."""
    with path.open("rb") as file:
        return file.read(4) == b"\x7fELF"


def without_what_nobody_needs(inside: Path) -> None:
    """Take away libraries that nothing in the folder is linked with, until none is left."""
    while True:
        files = [path for path in sorted(inside.rglob("*")) if path.is_file() and is_elf(path)]
        wanted = frozenset().union(*(needed_by(path) for path in {p.resolve() for p in files}))
        loose = [
            path
            for path in sorted({*inside.glob("lib*.so*"), *inside.glob("PySide6/Qt/lib/lib*.so*")})
            if path.name not in wanted and not path.name.startswith(OPENED_BY_NAME)
        ]
        for path in loose:
            path.unlink()
        if not loose:
            return


def libraries_of_the_system(inside: Path) -> Iterator[tuple[Path, str]]:
    """Libraries that were taken from Debian packages, and which."""
    for path in sorted(inside.glob("lib*.so*")):
        if path.is_symlink():
            continue
        usual = "lib/x86_64-linux-gnu"
        for place in (f"/usr/{usual}", f"/{usual}", f"/usr/{usual}/pulseaudio"):
            at = Path(place, path.name)
            told = subprocess.run(
                ["dpkg", "-S", at], capture_output=True, text=True, check=False
            ).stdout
            if told:
                yield path, told.split(":")[0]
                break


def all_needed(name: str, known: dict[str, Distribution]) -> dict[str, Distribution]:
    """A package of Python and all that it asks for."""
    try:
        found = distribution(name)
    except PackageNotFoundError:
        return known
    key = found.metadata["Name"].lower().replace("_", "-")
    if key in known or key in NOT_IN_IT:
        return known
    known[key] = found
    for asked in found.requires or ():
        if "extra ==" not in asked:
            all_needed(re.split(r"[^A-Za-z0-9._-]", asked, maxsplit=1)[0], known)
    return known


def licences(folder: Path) -> None:
    """Put the licence of everything in the folder into it."""
    out = folder / "licences"
    shutil.rmtree(out, ignore_errors=True)
    out.mkdir()
    lines = ["What is in this folder, and under which licence. The texts lie beside this.", ""]
    for key, found in sorted(all_needed("tapscore", {}).items()):
        told = found.metadata
        named = told["License-Expression"] or told["License"] or ""
        classed = [c.split(" :: ")[-1] for c in told.get_all("Classifier") or () if "License" in c]
        short = named.strip().splitlines()[0][:80] if named.strip() else ", ".join(classed)
        lines.append(f"{told['Name']} {found.version}: {short or 'see its text'}")
        for file in found.files or ():
            named = re.search(r"licen[cs]e|copying|notice|authors|ofl", file.name, re.I)
            if (named or ".dist-info/licenses/" in file.as_posix()) and (
                file.suffix not in (".py", ".pyc")
            ):
                source = Path(str(file.locate()))
                if source.is_file():
                    flat = "-".join(file.parts[-2:]).replace(".dist-info", "")
                    shutil.copyfile(source, out / f"{key}-{flat}")
    packages = {name for _, name in libraries_of_the_system(folder / "_internal")}
    packages |= {"python3.11-minimal", "espeak-ng"} & set(_installed())
    for name in sorted(packages):
        text = Path("/usr/share/doc", name, "copyright")
        if text.exists():
            shutil.copyfile(text, out / f"debian-{name}.txt")
            lines.append(f"{name} (from Debian): see debian-{name}.txt")
    for common in ("GPL-2", "GPL-3", "LGPL-2.1", "LGPL-3", "Apache-2.0", "MPL-2.0"):
        text = Path("/usr/share/common-licenses", common)
        if text.exists():
            shutil.copyfile(text, out / f"{common}.txt")
    lines += [
        "eSpeak NG, in espeakng_loader: GNU General Public License 3 or later, see GPL-3.txt",
        "Qt, in PySide6: GNU Lesser General Public License 3, see LGPL-3.txt. You may put other",
        "builds of its libraries in their place in _internal/PySide6/Qt/lib.",
        "PDFium, in pypdfium2_raw: Apache License 2.0 and BSD licences, see pypdfium2-*.txt",
        "FFmpeg, in imageio_ffmpeg, if it is there: GNU General Public License 3, see GPL-3.txt",
    ]
    (out / "What is in it.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")


def _installed() -> list[str]:
    command = ["dpkg-query", "-W", "-f", "${Package}\\n"]
    told = subprocess.run(command, capture_output=True, text=True, check=False)
    return told.stdout.split()


def shared(root: Path, version: str) -> None:
    """Put what desktops look for under ``root/share``: entry, icon, kind of file, data, manual."""
    day = subprocess.run(
        ["date", "-u", "-d", f"@{EPOCH}", "+%F"], capture_output=True, text=True, check=True
    ).stdout.strip()
    for source, place in (
        (RESOURCES / "tapscore.desktop", "applications/tapscore.desktop"),
        (RESOURCES / "pictures" / "tapscore.svg", "icons/hicolor/scalable/apps/tapscore.svg"),
        (HERE / "tapscore-story.xml", "mime/packages/tapscore-story.xml"),
        (HERE / "metainfo.xml", "metainfo/org.tapscore.tapscore.metainfo.xml"),
    ):
        there = root / "share" / place
        there.parent.mkdir(parents=True, exist_ok=True)
        text = source.read_text(encoding="utf-8").replace("VERSION", version).replace("DAY", day)
        there.write_text(text, encoding="utf-8")
    manual = root / "share" / "man" / "man1" / "tapscore.1.gz"
    manual.parent.mkdir(parents=True, exist_ok=True)
    text = (HERE / "tapscore.1").read_text(encoding="utf-8").replace("VERSION", version)
    with manual.open("wb") as raw, gzip.GzipFile("", "wb", 9, raw, mtime=EPOCH) as file:
        file.write(text.replace("DAY", day).encode())


def tar_xz(folder: Path, out: Path, name: str) -> Path:
    """An archive with the folder called ``name`` in it."""
    there = out / f"{name}.tar.xz"
    with there.open("wb") as file:
        preset = os.environ.get("PACK_PRESET", "9,dict=128MiB")  # 0 for a trial on a busy computer
        command = ["xz", "-T1", "--x86", f"--lzma2=preset={preset}", "-c"]
        packing = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=file)
        assert packing.stdin is not None
        with tarfile.open(mode="w|", fileobj=packing.stdin, format=tarfile.PAX_FORMAT) as tar:
            for path in [folder, *sorted(folder.rglob("*"))]:
                tar.add(path, f"{name}/{path.relative_to(folder)}", recursive=False, filter=_plain)
        packing.stdin.close()
        if packing.wait():
            raise OSError("xz failed")
    return there


def _plain(entry: tarfile.TarInfo) -> tarfile.TarInfo:
    entry.uid = entry.gid = 0
    entry.uname = entry.gname = ""
    entry.mtime = EPOCH
    entry.mode = 0o755 if entry.isdir() or entry.mode & 0o100 else 0o644
    return entry


def deb(folder: Path, out: Path, version: str) -> Path:
    """A Debian package in which libraries of the system are asked for, not brought."""
    root = out / "deb"
    shutil.rmtree(root, ignore_errors=True)
    home = root / "usr" / "lib" / "tapscore"
    shutil.copytree(folder, home, symlinks=True)
    shutil.rmtree(home / "share", ignore_errors=True)
    (home / "put-in-menu").unlink(missing_ok=True)
    shutil.rmtree(home / "_internal" / "imageio_ffmpeg" / "binaries", ignore_errors=True)
    shutil.rmtree(home / "_internal" / "espeakng_loader", ignore_errors=True)  # Debian's own speaks
    depends = {*DEPENDS, "espeak-ng"}
    for path, package in libraries_of_the_system(home / "_internal"):
        if not FREE_OF_CHANGE.match(path.name):
            path.unlink()
            depends.add(package)
    shared(root / "usr", version)
    doc = root / "usr" / "share" / "doc" / "tapscore"
    doc.mkdir(parents=True)
    (home / "licences").rename(doc / "licences")
    copyright_ = (HERE / "copyright").read_text(encoding="utf-8")
    (doc / "copyright").write_text(copyright_, encoding="utf-8")
    program = root / "usr" / "bin" / "tapscore"
    program.parent.mkdir(parents=True)
    program.symlink_to("../lib/tapscore/tapscore")
    size_kib = sum(p.lstat().st_size for p in root.rglob("*") if p.is_file()) // 1024
    control = (HERE / "control").read_text(encoding="utf-8")
    for hole, said in (
        ("VERSION", version),
        ("SIZE", str(size_kib)),
        ("DEPENDS", ", ".join(sorted(depends))),
    ):
        control = control.replace(hole, said)
    (root / "DEBIAN").mkdir()
    (root / "DEBIAN" / "control").write_text(control, encoding="utf-8")
    for path in [root, *root.rglob("*")]:
        if not path.is_symlink():
            path.chmod(0o755 if path.is_dir() or path.stat().st_mode & 0o100 else 0o644)
        os.utime(path, (EPOCH, EPOCH), follow_symlinks=False)
    there = out / f"tapscore_{version}_amd64.deb"
    subprocess.run(
        ["dpkg-deb", "--root-owner-group", "-Zxz", "-z9", "--build", root, there],
        check=True,
        stdout=subprocess.DEVNULL,
    )
    shutil.rmtree(root)
    return there


def main(folder: Path, out: Path) -> None:
    """Finish the folder and make the archives."""
    version = distribution("tapscore").version
    out.mkdir(parents=True, exist_ok=True)
    without_what_nobody_needs(folder / "_internal")
    licences(folder)
    shared(folder, version)
    shutil.copyfile(HERE / "put-in-menu", folder / "put-in-menu")
    (folder / "put-in-menu").chmod(0o755)
    for path in sorted(folder.rglob("__pycache__")):
        shutil.rmtree(path)
    for name in WHERE_IT_WAS_BUILT:
        for path in sorted(folder.rglob(f"*.dist-info/{name}")):
            path.unlink()
    with ThreadPoolExecutor() as both:
        made = (
            both.submit(tar_xz, folder, out, f"tapscore-{version}-linux-x86_64"),
            both.submit(deb, folder, out, version),
        )
    for each in made:
        path = each.result()
        print(f"{path.name}: {path.stat().st_size / 1e6:.1f} MB")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
