/* A bench terminal goes to its lock screen when nothing was asked of it for the idle time. The server signs out. */
const lock = document.querySelector("meta[name=locks-after]");
let waiting;

const wait = () => {
  clearTimeout(waiting);
  waiting = setTimeout(() => location.assign(lock.dataset.address), Number(lock.content) * 1000);
};

document.addEventListener("htmx:afterRequest", wait);
wait();
