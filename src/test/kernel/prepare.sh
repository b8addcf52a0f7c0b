#!/usr/bin/env bash
# Builds the guest of the kernel test: a Debian kernel and a small initial file system, in a cache outside the project.
# usage: prepare.sh [DIRECTORY]      default: $RINGOUT_KERNEL_GUEST, else ~/.cache/ringout/kernel-guest
# Needs Debian's apt-get and dpkg-deb, busybox-static and cpio. Installs nothing; root is not needed.
set -euo pipefail

here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
guest=${1:-${RINGOUT_KERNEL_GUEST:-${XDG_CACHE_HOME:-$HOME/.cache}/ringout/kernel-guest}}

# In the order they have to be loaded.
modules="virtio_ring virtio virtio_pci_legacy_dev virtio_pci_modern_dev virtio_pci netfs fscache 9pnet 9pnet_virtio 9p
    hid hid-generic uhid evdev uinput overlay
    usb-common usbcore usbhid usbip-core vhci-hcd failover net_failover virtio_net"

fail() {
    echo "prepare.sh: $*" >&2
    exit 1
}

[ "$(uname -m)" = x86_64 ] || fail "the guest shares this computer's programs, so it has to be x86-64"
for tool in apt-get apt-cache dpkg-deb cpio gzip; do
    command -v "$tool" > /dev/null || fail "$tool is missing"
done
busybox=$(command -v busybox) || fail "busybox is missing: apt-get install busybox-static"
! ldd "$busybox" > /dev/null 2>&1 || fail "busybox needs libraries, a static one is required: apt-get install busybox-static"

package=$(apt-cache depends linux-image-amd64 | awk '$1 == "Depends:" && $2 ~ /^linux-image-/ { print $2; exit }')
[ -n "$package" ] || fail "apt knows no linux-image-amd64; run apt-get update on a Debian system"

if [ -f "$guest/vmlinuz" ] && [ "$(cat "$guest/package" 2> /dev/null)" = "$package" ] && cmp -s "$here/init" "$guest/init" \
    && cmp -s "$here/prepare.sh" "$guest/prepare.sh"; then
    echo "kernel guest is up to date in $guest ($package)"
    exit 0
fi

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
echo "fetching $package"
(cd "$work" && apt-get -q download "$package" > download.log 2>&1) || { cat "$work/download.log" >&2; fail "download failed"; }
dpkg-deb -x "$work"/"$package"_*.deb "$work/kernel"

root=$work/root
mkdir -p "$root/bin" "$root/modules"
cp "$busybox" "$root/bin/busybox"
cp "$here/init" "$root/init"
chmod +x "$root/init"
for module in $modules; do
    file=$(find "$work/kernel" -name "$module.ko" -o -name "$module.ko.xz" -o -name "$module.ko.zst" | head -n 1)
    case $file in
        *.ko) cp "$file" "$root/modules/" ;;
        *.xz) xz -dc "$file" > "$root/modules/$module.ko" ;;
        *.zst) zstd -qdc "$file" > "$root/modules/$module.ko" ;;
        # Newer kernels have some of these built in or merged into another.
        *) echo "$module is not a module of $package, taken as built in" && continue ;;
    esac
    echo "$module" >> "$root/modules/order"
done

mkdir -p "$guest"
rm -f "$guest/package"
(cd "$root" && find . | cpio --quiet -o -H newc | gzip -1) > "$guest/initramfs.gz"
cp "$work"/kernel/boot/vmlinuz-* "$guest/vmlinuz"
cp "$here/init" "$here/prepare.sh" "$guest/"
echo "$package" > "$guest/package"
echo "kernel guest is ready in $guest ($package)"
