// Factors a matrix with CHOLMOD (supernodal, METIS) as often as asked, for
// BenchmarkBesideCHOLMOD in fea/sparse. For every line on standard input it
// factors once and prints the milliseconds; first it prints a line with those of
// the analysis, and the entries and operations of the factor.
//
// usage: cholmod FILE   (int32 n, nnz; int32 column starts n+1, rows nnz; double
// values nnz; lower triangle by columns, in the byte order of the machine)
#include <stdio.h>
#include <stdlib.h>
#include <time.h>
#include <suitesparse/cholmod.h>

static double now(void) {
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return t.tv_sec * 1e3 + t.tv_nsec / 1e6;
}

int main(int argc, char **argv) {
	cholmod_common c;
	int h[2];
	char line[64];
	if (argc != 2) return 2;
	FILE *f = fopen(argv[1], "rb");
	if (!f || fread(h, 4, 2, f) != 2) return 3;
	int n = h[0], nz = h[1];
	cholmod_start(&c);
	cholmod_sparse *a = cholmod_allocate_sparse(n, n, nz, 1, 1, -1, CHOLMOD_REAL, &c);
	if (!a || fread(a->p, 4, n + 1, f) != (size_t)n + 1 || fread(a->i, 4, nz, f) != (size_t)nz ||
	    fread(a->x, 8, nz, f) != (size_t)nz) return 4;
	fclose(f);
	c.nmethods = 1;
	c.method[0].ordering = CHOLMOD_METIS;
	c.postorder = 1;
	c.supernodal = CHOLMOD_SUPERNODAL;
	double t0 = now();
	cholmod_factor *l = cholmod_analyze(a, &c);
	if (!l) return 5;
	printf("%.3f %.0f %.0f\n", now() - t0, c.lnz, c.fl);
	fflush(stdout);
	cholmod_dense *b = cholmod_ones(n, 1, CHOLMOD_REAL, &c);
	while (fgets(line, sizeof line, stdin)) {
		double t1 = now();
		if (!cholmod_factorize(a, l, &c) || c.status != CHOLMOD_OK) return 6;
		double t2 = now();
		cholmod_dense *x = cholmod_solve(CHOLMOD_A, l, b, &c);
		if (!x) return 7;
		printf("%.3f %.3f\n", t2 - t1, now() - t2);
		fflush(stdout);
		cholmod_free_dense(&x, &c);
	}
	return 0;
}
