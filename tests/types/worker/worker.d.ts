// The worker's own thread: the library knows workers in general, these are the events and words of a service worker.

interface WorkerGlobalScopeEventMap {
  install: ExtendableEvent;
  activate: ExtendableEvent;
  fetch: FetchEvent;
}

interface WorkerGlobalScope {
  readonly clients: Clients;
  skipWaiting(): Promise<void>;
}
