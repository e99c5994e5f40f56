package main

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"
	"sync"

	"github.com/evanw/esbuild/pkg/api"
)

// workerScheme begins an import of a script that runs in a worker of its own. It is built
// apart, and the import gives its address: import address from "worker:./file.ts".
const workerScheme = "worker:"

// workers builds the scripts of workers that a bundle asks for, and adds them to out under
// names that begin with prefix and carry a hash of their content; the server gives them at assets.
func workers(root, assets, prefix string, out files) api.Plugin {
	const space = "worker"
	var one sync.Mutex // the bundler loads several at once
	return api.Plugin{Name: space, Setup: func(build api.PluginBuild) {
		build.OnResolve(api.OnResolveOptions{Filter: "^" + workerScheme}, func(asked api.OnResolveArgs) (api.OnResolveResult, error) {
			// Relative to the root, so that the bundle is the same wherever the folder lies.
			path, err := filepath.Rel(root, filepath.Join(asked.ResolveDir, strings.TrimPrefix(asked.Path, workerScheme)))
			return api.OnResolveResult{Path: filepath.ToSlash(path), Namespace: space}, err
		})
		build.OnLoad(api.OnLoadOptions{Filter: ".", Namespace: space}, func(asked api.OnLoadArgs) (api.OnLoadResult, error) {
			script, err := transpile(root, asked.Path)
			if err != nil {
				return api.OnLoadResult{}, err
			}
			base := filepath.Base(asked.Path)
			name := fmt.Sprintf("%s-%s-%.4X.js", prefix, strings.TrimSuffix(base, filepath.Ext(base)), sha256.Sum256(script))
			one.Lock()
			out[name] = script
			one.Unlock()
			address, err := json.Marshal(assets + name)
			if err != nil {
				return api.OnLoadResult{}, err
			}
			module := "export default " + string(address)
			return api.OnLoadResult{Contents: &module, Loader: api.LoaderJS}, nil
		})
	}}
}
