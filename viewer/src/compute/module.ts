// What a page that is not bundled imports: the script that compute.json names.
export { load } from "./compute.ts";
export { loadInWorker } from "./remote.ts";
