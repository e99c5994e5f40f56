// A script that runs in a worker of its own: the bundler builds it apart, and the import
// gives its address.
declare module "worker:*" {
  const address: string;
  export default address;
}
