// Package sparse solves K·u = f for a symmetric positive definite stiffness K
// given as element matrices, by multifrontal Cholesky factorisation.
//
// # Model
//
// A Pattern says which nodes there are (position in millimetres, number of
// unknowns), which nodes each element couples and which unknowns are held. The
// unknowns are numbered node after node: unknown c of node n is First[n]+c, see
// Symbolic.Unknown. An element matrix is square, row after row, in the order of
// the element's nodes and of the unknowns within them; unknowns that are held
// have their rows too. The package knows nothing of what an unknown means, so it
// has no units of its own: element matrices, loads and results are in the units
// that the caller uses (N and mm elsewhere in this program).
//
// # One call
//
//	sym, err := sparse.Analyse(ctx, sparse.Pattern{Positions: xyz, Sizes: five, Elements: nodes, Held: held}, sparse.Options{})
//	f, err := sym.Factor(ctx, element, springs, buffers) // element(e, dst) fills dst, which is cleared
//	accuracy, err := f.SolveTo(ctx, u, loads, nil)       // u[i] from loads[i]
//	k, err := f.Condition(ctx)
//	f.Release()                                          // gives the memory to buffers for the next edit
//
// Symbolic depends on the pattern alone and may serve any number of factors, at
// the same time if wanted. A Factor does not change and may serve any number of
// goroutines until it is released.
//
// # Method
//
// Elements are divided by geometric nested dissection of their centroids: a
// straight cut that leaves the fewest unknowns between two nearly equal halves,
// down to leaves of about ten triangles (dissect.go). Every part has a dense
// front: its element matrices and the Schur complements of its two halves are
// added up and its own unknowns are eliminated (factor.go). The dense arithmetic
// is done by kernels for AVX2 and AVX-512 where the processor has them (stripwise.go)
// and by gonum elsewhere (dense.go). Goroutines work on separate
// parts of the tree and, near its root, on separate rows of one front; the order
// of the additions is fixed by the pattern, so that every number of workers gives
// the same bits. Solutions are refined with the residual of the element matrices
// until the normwise backward error is of the size of rounding (solve.go).
//
// # Singular systems
//
// A pivot that is not positive, or so small beside the diagonal that it came
// from that rounding alone may have made it, ends the factorisation with a
// *SingularError that names the unknown and its connected piece.
// Symbolic.FreeMotions then says which of the motions a caller can name (see
// RigidBody) has no stiffness, and RigidMotion where a plate would turn.
//
// References: J. W. H. Liu, The multifrontal method for sparse matrix solution:
// theory and practice, SIAM Review 34 (1992) 82–109; A. George, Nested dissection
// of a regular finite element mesh, SIAM J. Numer. Anal. 10 (1973) 345–363;
// N. J. Higham, Accuracy and Stability of Numerical Algorithms, 2nd ed. (2002),
// chapters 7, 10, 12 and 15.
package sparse
