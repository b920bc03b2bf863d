module platewright

go 1.26.0

require (
	fyne.io/fyne/v2 v2.7.1 // indirect
	github.com/alecthomas/kong v1.17.0 // indirect
	github.com/google/go-cmp v0.7.0 // indirect
	github.com/peterstace/simplefeatures v0.50.0 // indirect
	github.com/rogpeppe/go-internal v1.16.0 // indirect
	github.com/santhosh-tekuri/jsonschema/v6 v6.0.3 // indirect
	go.uber.org/goleak v1.3.0 // indirect
	golang.org/x/image v0.48.0 // indirect
	golang.org/x/text v0.44.0 // indirect
	gonum.org/v1/gonum v0.17.0 // indirect
	pgregory.net/rapid v1.3.0 // indirect
)
