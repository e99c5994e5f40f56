// A script that runs in a worker of its own: the bundler builds it apart, and the import
// gives its address.
declare module "worker:*" {
  const address: string;
  export default address;
}

// What belongs to the program that viewer/bundle has just compiled: Go's own glue, which
// defines globalThis.Go, and the name of the program's file.
declare module "go:glue" {}
declare module "go:program" {
  const name: string;
  export default name;
}
