// Package session is one open job: the document with its history, its file, and the results that follow every edit in the
// background. It knows no window; a window (or a test) owns a Session, hands it a way to post work to its own goroutine,
// and calls every method from there.
//
//	s, recovery, err := session.Open(cfg, "side.plate")
//	err = s.Do(plate.SetBore(moved), "drag 1") // edits with one gesture key are one undo step
//	s.Undo()
//	kg := s.Mass()                                    // kg.Value; kg.Stale and kg.Age while it is being recomputed
//	err = s.Save(false)
//
// Documents are immutable snapshots: a step of the history is a document, never an inverse command. The generation counts
// every change of the document, undo and redo included, so that a result that comes late can never match by accident. Two
// computations follow the document: the frame (layout, mass, geometric findings) and the follow-up (sections, machining, price;
// while a gesture lasts the minutes are re-timed from the plan before, and the whole plan follows when the hand rests).
// Of each the latest wins; what was last known to be good stays, marked stale with its age.
//
// Units are those of the program: mm, kg, minutes, MPa.
package session
