#!/bin/sh
# Measures the sparse solver beside CHOLMOD on the same matrices, in one run.
# Installs CHOLMOD and OpenBLAS (Debian) if they are missing. Run it from the root
# of the repository, on a quiet machine:
#
#	sh testdata/sparse/cholmod.sh
set -e
if ! [ -e /usr/include/suitesparse/cholmod.h ]; then
	install="apt-get install -y -qq libsuitesparse-dev libopenblas-dev"
	if [ "$(id -u)" = 0 ]; then $install; else sudo $install; fi
fi
exec go test ./fea/sparse -run '^$' -bench BesideCHOLMOD -benchtime 1x -timeout 30m "$@"
