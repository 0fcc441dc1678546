// What is kept on the phone. A promise that comes true here means that the phone's disk has it.

let opened;

function open() {
  opened ??= new Promise((done, fail) => {
    const asked = indexedDB.open("turnrow-walk", 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore("walks", { keyPath: "id" });
      asked.result.createObjectStore("person");
    };
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => fail(asked.error);
    asked.onblocked = () => fail(new Error("another page holds what is kept"));
  });
  return opened;
}

/** Run `work(store)` and wait until it is on disk; what `work` returns through its request is given back. */
async function within(name, mode, work) {
  const base = await open();
  return new Promise((done, fail) => {
    const act = base.transaction(name, mode, { durability: "strict" });
    let found;
    act.oncomplete = () => done(found);
    act.onabort = () => fail(act.error ?? new Error("not kept"));
    work(act.objectStore(name), value => { found = value; });
  });
}

export function walks() {
  return within("walks", "readonly", (store, give) => {
    const asked = store.getAll();
    asked.onsuccess = () => give(asked.result);
  });
}

export function add(walk) {
  return within("walks", "readwrite", (store, give) => {
    store.add(walk);
    give(walk);
  });
}

/** Change one walk as it stands on disk, so that two open pages do not lose one another's numbers. */
export function change(id, how) {
  return within("walks", "readwrite", (store, give) => {
    const asked = store.get(id);
    asked.onsuccess = () => {
      const walk = asked.result;
      how(walk);
      store.put(walk);
      give(walk);
    };
  });
}

export function remove(id) {
  return within("walks", "readwrite", store => store.delete(id));
}

export function person() {
  return within("person", "readonly", (store, give) => {
    const asked = store.get("me");
    asked.onsuccess = () => give(asked.result ?? {});
  });
}

export function remember(me) {
  return within("person", "readwrite", store => store.put(me, "me"));
}

/** Made here, so that it may be sent twice; `crypto.randomUUID` is not there on an unencrypted address. */
export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return `walk-${[...bytes].map(one => one.toString(16).padStart(2, "0")).join("")}`;
}
