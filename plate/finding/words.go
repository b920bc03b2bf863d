package finding

import "regexp"

// packages are the names of this project's packages that begin the texts of their errors. Some are also keys of documents and
// profiles, whose problems read "line 3: mass: …"; those say a package at the start alone.
var (
	anywhere = regexp.MustCompile(`(^|: )(?:(?:dxf|fea|geom|kinematics|mesh|route|scene|shell|solid|sparse|standard|torsion|verify): )+`)
	leading  = regexp.MustCompile(`^(?:check|layout|mass|material|plate|quote|report|section|set|shop|table|tree): `)
)

// Words is the text of an error for whoever draws or orders the plate: without the names of the packages that it came through.
func Words(err error) string {
	return leading.ReplaceAllString(anywhere.ReplaceAllString(err.Error(), "$1"), "")
}
