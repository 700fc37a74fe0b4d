/* What a page that saves as one types shares: a store in this tablet for what the server has not confirmed, and keys. */
const WEEK_MS = 7 * 24 * 3600 * 1000;

/* Entries of one kind of page, by prefix. Whatever is a week old goes. */
export const storeOf = (prefix) => {
  const store = {
    read(key) { try { return JSON.parse(localStorage.getItem(key)); } catch { return null; } },
    write(key, value) { try { localStorage.setItem(key, JSON.stringify(value)); return true; } catch { return false; } },
    drop(key) { try { localStorage.removeItem(key); } catch { /* nothing is kept where nothing can be */ } },
    keys() { try { return Object.keys(localStorage).filter((key) => key.startsWith(prefix)); } catch { return []; } },
  };
  for (const key of store.keys()) if (Date.now() - (store.read(key)?.at ?? 0) > WEEK_MS) store.drop(key);
  return store;
};

export const valueOf = (field) => (field.matches("[type=checkbox], [type=radio]") ? (field.checked ? field.value : "") : field.value);

export const give = (field, value) => {
  if (field instanceof RadioNodeList) field.value = value;
  else if (field.type === "checkbox") field.checked = value !== "";
  else field.value = value;
};

/* A key for each sending. Made here, since the browser's own way to make one is not there without an encrypted line. */
export const newKey = () => {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const digits = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return digits.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
};
