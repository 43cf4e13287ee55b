#!/bin/bash
# Runs a command in another system's folder, with its own processes and mounts, which vanish when this is killed:
# inroot.sh ROOT COMMAND…; PLUG_IN_ENGINE, DISPLAY and EDITOR_LANG, as LANG, go along.
exec unshare --mount --pid --fork --kill-child bash -c 'root=$1; shift
mount -t proc proc "$root/proc"; mount --rbind /dev "$root/dev"
exec chroot "$root" env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin HOME=/root LANG=${EDITOR_LANG:-C.UTF-8} NO_AT_BRIDGE=1 \
  ${DISPLAY:+DISPLAY=$DISPLAY} ${PLUG_IN_ENGINE:+PLUG_IN_ENGINE=$PLUG_IN_ENGINE} "$@"' _ "$@"
