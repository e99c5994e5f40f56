package phone

import (
	"context"
	"encoding/json"
	"errors"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// callOn calls a function of the page's language with an element as this. The arguments
// are literals.
func callOn(ctx context.Context, target *chromedp.Target, object runtime.RemoteObjectID, function string, args ...string) (*runtime.RemoteObject, error) {
	yes := true
	params := runtime.CallFunctionOnParams{FunctionDeclaration: function, ObjectID: object, ReturnByValue: &yes, AwaitPromise: &yes}
	for _, arg := range args {
		params.Arguments = append(params.Arguments, &runtime.CallArgument{Value: []byte(arg)})
	}
	r, err := cdp.Call(ctx, target, runtime.CallFunctionOn, params)
	if err != nil {
		return nil, err
	}
	if r.ExceptionDetails != nil {
		return nil, errors.New(r.ExceptionDetails.Text)
	}
	return r.Result, nil
}

func decoded[T any](r *runtime.RemoteObject) (v T, err error) {
	err = json.Unmarshal(r.Value, &v)
	return v, err
}
