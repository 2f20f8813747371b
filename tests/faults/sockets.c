/* Loaded before the C library: notes every connection beyond this machine that a program tries, in the file
   SOCKETS_LOG, and lets none be made. */
#define _GNU_SOURCE
#include <arpa/inet.h>
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <netdb.h>
#include <netinet/in.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

static void note(const char *what) {
    const char *log = getenv("SOCKETS_LOG");
    int handle = log ? open(log, O_WRONLY | O_APPEND | O_CREAT, 0600) : -1;
    if (handle < 0) return;
    if (write(handle, what, strlen(what)) < 0 || write(handle, "\n", 1) < 0) {}
    close(handle);
}

static int leaves(const struct sockaddr *to) {
    return to && (to->sa_family == AF_INET || to->sa_family == AF_INET6);
}

int connect(int handle, const struct sockaddr *to, socklen_t length) {
    static int (*real)(int, const struct sockaddr *, socklen_t);
    if (!real) real = (int (*)(int, const struct sockaddr *, socklen_t))dlsym(RTLD_NEXT, "connect");
    if (leaves(to)) { note("connect"); errno = ENETUNREACH; return -1; }
    return real(handle, to, length);
}

ssize_t sendto(int handle, const void *data, size_t size, int flags, const struct sockaddr *to, socklen_t length) {
    static ssize_t (*real)(int, const void *, size_t, int, const struct sockaddr *, socklen_t);
    if (!real) real = (ssize_t (*)(int, const void *, size_t, int, const struct sockaddr *, socklen_t))dlsym(RTLD_NEXT, "sendto");
    if (leaves(to)) { note("sendto"); errno = ENETUNREACH; return -1; }
    return real(handle, data, size, flags, to, length);
}

int getaddrinfo(const char *node, const char *service, const struct addrinfo *hints, struct addrinfo **found) {
    note(node ? node : "getaddrinfo");
    return EAI_FAIL;
}
