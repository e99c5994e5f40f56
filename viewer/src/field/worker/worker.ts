// The service worker: see install.ts for the page's end.
export {};
