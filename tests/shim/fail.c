/* Lets a chosen call on files of one folder fail, in a program that knows nothing of it (LD_PRELOAD).
 *
 * SHIM_FOLDER  files under this path count
 * SHIM_CALL    sync | write | truncate
 * SHIM_NTH     the call with this count fails, and SHIM_COUNT - 1 more after it
 * SHIM_ERRNO   with this number
 * SHIM_SWITCH  instead of SHIM_COUNT: calls count, and fail from SHIM_NTH on, only while this file exists
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>
#include <unistd.h>

static long made;

static int is_ours(int fd) {
    const char *folder = getenv("SHIM_FOLDER");
    char link[64], path[4096];
    if (!folder) return 0;
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    ssize_t length = readlink(link, path, sizeof path - 1);
    if (length < 0) return 0;
    path[length] = 0;
    return strncmp(path, folder, strlen(folder)) == 0;
}

static int fails(const char *call, int fd) {
    const char *wanted = getenv("SHIM_CALL");
    if (!wanted || strcmp(wanted, call) != 0 || !is_ours(fd)) return 0;
    const char *on = getenv("SHIM_SWITCH");
    if (on && access(on, F_OK) != 0) {
        __atomic_store_n(&made, 0, __ATOMIC_SEQ_CST);
        return 0;
    }
    long nth = atol(getenv("SHIM_NTH")), count = on ? 1L << 40 : atol(getenv("SHIM_COUNT"));
    long now = __sync_add_and_fetch(&made, 1);
    if (now < nth || now >= nth + count) return 0;
    errno = atoi(getenv("SHIM_ERRNO"));
    return 1;
}

#define REAL(name) ((__typeof__(&name))dlsym(RTLD_NEXT, #name))

int fsync(int fd) { return fails("sync", fd) ? -1 : REAL(fsync)(fd); }
int fdatasync(int fd) { return fails("sync", fd) ? -1 : REAL(fdatasync)(fd); }
ssize_t pwrite(int fd, const void *bytes, size_t count, off_t at) {
    return fails("write", fd) ? -1 : REAL(pwrite)(fd, bytes, count, at);
}
ssize_t pwrite64(int fd, const void *bytes, size_t count, off64_t at) {
    return fails("write", fd) ? -1 : REAL(pwrite64)(fd, bytes, count, at);
}
ssize_t write(int fd, const void *bytes, size_t count) {
    return fails("write", fd) ? -1 : REAL(write)(fd, bytes, count);
}
int ftruncate(int fd, off_t length) {
    return fails("truncate", fd) ? -1 : REAL(ftruncate)(fd, length);
}
int ftruncate64(int fd, off64_t length) {
    return fails("truncate", fd) ? -1 : REAL(ftruncate64)(fd, length);
}
