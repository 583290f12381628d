# Every target is one line of .ci/run or of the go command; see DEVELOPERS.md.
.PHONY: all test quick lint race fuzz demo bench golden logs

all: ; .ci/run
quick: ; .ci/run quick
test: ; .ci/run test
lint: ; .ci/run format vet lint
race: ; .ci/run race
fuzz: ; .ci/run fuzz
demo: ; go run ./cmd/rung demo

bench: ; go test -run '^$$' -bench . -benchmem ./...
golden:
	go test ./dsl -update-reports -update-faults
	go test ./engine/history ./engine/plan ./cmd/rung -update
logs: ; go run ./examples/pindrift/generate
