/* Loaded before the C library: counts what a program writes below a folder, and at the wanted call ends its process
   group or lets the call fail. FAULT_UNDER: the folder. FAULT_COUNT: a file of 8 bytes that all processes count in.
   FAULT_AT: the number of the call, 0 for none. FAULT_HOW: "kill", or the errno that the call fails with.
   FAULT_STAYS: with an errno, whether every later call fails as well, as on a full disk. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/sendfile.h>
#include <sys/types.h>
#include <sys/uio.h>
#include <unistd.h>

static volatile uint64_t *counter;
static const char *under;
static uint64_t at;
static int how, stays;

static void set_up(void) {
    static int done;
    if (done) return;
    done = 1;
    under = getenv("FAULT_UNDER");
    const char *count = getenv("FAULT_COUNT"), *when = getenv("FAULT_AT"), *what = getenv("FAULT_HOW");
    if (!under || !count) return;
    at = when ? strtoull(when, NULL, 10) : 0;
    how = what && strcmp(what, "kill") ? atoi(what) : 0;
    stays = getenv("FAULT_STAYS") != NULL;
    int handle = open(count, O_RDWR);
    if (handle < 0) return;
    void *place = mmap(NULL, 8, PROT_READ | PROT_WRITE, MAP_SHARED, handle, 0);
    if (place != MAP_FAILED) counter = place;
    close(handle);
}

/* Whether the call that is being made is to fail. */
static int fails(const char *path) {
    set_up();
    if (!counter || strncmp(path, under, strlen(under))) return 0;
    uint64_t now = __sync_add_and_fetch(counter, 1);
    if (!at || (now != at && !(how && stays && now > at))) return 0;
    if (how) { errno = how; return 1; }
    kill(0, SIGKILL);
    for (;;) pause();
}

static int handle_fails(int handle) {
    char name[64], path[4096];
    int before = errno;
    snprintf(name, sizeof name, "/proc/self/fd/%d", handle);
    ssize_t length = readlink(name, path, sizeof path - 1);
    errno = before;
    if (length <= 0 || path[0] != '/') return 0;
    path[length] = 0;
    return fails(path);
}

static int name_fails(const char *path) {
    char whole[8192];
    if (path[0] == '/') return fails(path);
    if (!getcwd(whole, 4096)) return 0;
    strcat(whole, "/");
    strncat(whole, path, 4000);
    return fails(whole);
}

#define REAL(name) static __typeof__(&name) real; if (!real) real = (__typeof__(&name))dlsym(RTLD_NEXT, #name)

ssize_t write(int h, const void *b, size_t n) { REAL(write); return handle_fails(h) ? -1 : real(h, b, n); }
ssize_t pwrite(int h, const void *b, size_t n, off_t o) { REAL(pwrite); return handle_fails(h) ? -1 : real(h, b, n, o); }
ssize_t pwrite64(int h, const void *b, size_t n, off64_t o) { REAL(pwrite64); return handle_fails(h) ? -1 : real(h, b, n, o); }
ssize_t writev(int h, const struct iovec *v, int n) { REAL(writev); return handle_fails(h) ? -1 : real(h, v, n); }
ssize_t sendfile(int to, int from, off_t *o, size_t n) { REAL(sendfile); return handle_fails(to) ? -1 : real(to, from, o, n); }
ssize_t sendfile64(int to, int from, off64_t *o, size_t n) { REAL(sendfile64); return handle_fails(to) ? -1 : real(to, from, o, n); }
int fsync(int h) { REAL(fsync); return handle_fails(h) ? -1 : real(h); }
int fdatasync(int h) { REAL(fdatasync); return handle_fails(h) ? -1 : real(h); }
int ftruncate(int h, off_t n) { REAL(ftruncate); return handle_fails(h) ? -1 : real(h, n); }
int ftruncate64(int h, off64_t n) { REAL(ftruncate64); return handle_fails(h) ? -1 : real(h, n); }
int rename(const char *a, const char *b) { REAL(rename); return name_fails(b) ? -1 : real(a, b); }
int renameat(int x, const char *a, int y, const char *b) { REAL(renameat); return name_fails(b) ? -1 : real(x, a, y, b); }
int mkdir(const char *p, mode_t m) { REAL(mkdir); return name_fails(p) ? -1 : real(p, m); }
int unlink(const char *p) { REAL(unlink); return name_fails(p) ? -1 : real(p); }
