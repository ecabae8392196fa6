module example.com/railbook/kernel/launch/gopls

go 1.26.0

tool golang.org/x/tools/gopls

require (
	github.com/BurntSushi/toml v1.5.0 // indirect
	github.com/fatih/camelcase v1.0.0 // indirect
	github.com/fatih/gomodifytags v1.17.1-0.20250423142747-f3939df9aa3c // indirect
	github.com/fatih/structtag v1.2.0 // indirect
	github.com/fsnotify/fsnotify v1.9.0 // indirect
	github.com/google/go-cmp v0.7.0 // indirect
	github.com/google/jsonschema-go v0.3.0 // indirect
	github.com/modelcontextprotocol/go-sdk v0.8.0 // indirect
	github.com/yosida95/uritemplate/v3 v3.0.2 // indirect
	golang.org/x/exp/typeparams v0.0.0-20251023183803-a4bb9ffd2546 // indirect
	golang.org/x/mod v0.30.0 // indirect
	golang.org/x/sync v0.18.0 // indirect
	golang.org/x/sys v0.38.0 // indirect
	golang.org/x/telemetry v0.0.0-20251111182119-bc8e575c7b54 // indirect
	golang.org/x/text v0.31.0 // indirect
	golang.org/x/tools v0.39.1-0.20251205192105-907593008619 // indirect
	golang.org/x/tools/gopls v0.21.0 // indirect
	golang.org/x/vuln v1.1.4 // indirect
	honnef.co/go/tools v0.7.0-0.dev.0.20251022135355-8273271481d0 // indirect
	mvdan.cc/gofumpt v0.8.0 // indirect
	mvdan.cc/xurls/v2 v2.6.0 // indirect
)
