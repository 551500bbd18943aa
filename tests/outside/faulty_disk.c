/*
 * A disk that fails at any call, put under a whole program: LD_PRELOAD of a library that counts what is asked of one folder and lets
 * the call fail that the driver names (faulty_disk.py). Linux, glibc.
 *
 * FAULTY_FOLDER   the folder, absolute, no links in it; all else is left alone
 * FAULTY_CONTROL  file of a struct control, shared with the driver
 * FAULTY_SERVER   "IN OUT ERR" (optional): at the first call that touches the folder the program stops, and goes on in a copy of itself
 *                 for each byte that comes from the file descriptor IN; how the copy ended goes to OUT, what it said on standard error
 *                 to the file ERR. So what comes before the first call is computed once.
 */
#define _GNU_SOURCE
#include <dirent.h>
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

/* How a call fails; the numbers stand in faulty_disk.py too. */
enum way {
    REFUSED = 1,  /* this call alone is not done: EIO; also calls that only look */
    FULL = 2,     /* from this call on, what needs room is refused: ENOSPC; a write is half done first */
    READ_ONLY = 3,/* from this call on, nothing is changed any more: EROFS */
    DONE = 4,     /* this call is done, and EIO comes all the same */
    HALTING = 5,  /* no fault: a write takes half, other calls are interrupted once: EINTR */
    BLIND = 6,    /* this call fails, and from then on all that only looks: EIO */
    TWICE = 7,    /* this call fails, and one more so many calls later: EIO */
    KILLED = 8,   /* the program ends before this call by SIGKILL; a write is half done first */
};

struct control {
    atomic_int at;    /* the call that fails, from 1; 0: none */
    atomic_int way;
    atomic_int count; /* calls that were counted, of the kinds that this way lets fail */
    atomic_int hit;   /* the first that failed; 0: none */
    atomic_int again; /* how many calls later another one fails, for TWICE */
    char what[476];   /* those calls */
};

/* What a call does. */
enum { LOOKS = 1, CHANGES = 2, TAKES_ROOM = 4, WAITS = 8 };

static struct control *control;
static const char *folder;
static size_t folder_length;
static int server_in = -1, server_out = -1;
static char server_err[256];

__attribute__((constructor)) static void begin(void) {
    folder = getenv("FAULTY_FOLDER");
    const char *path = getenv("FAULTY_CONTROL"), *server = getenv("FAULTY_SERVER");
    int file = path ? (int)syscall(SYS_openat, AT_FDCWD, path, O_RDWR | O_CLOEXEC, 0) : -1;
    void *map = file < 0 ? MAP_FAILED : mmap(NULL, sizeof *control, PROT_READ | PROT_WRITE, MAP_SHARED, file, 0);
    if (!folder || map == MAP_FAILED) {
        dprintf(2, "faulty_disk: FAULTY_FOLDER and FAULTY_CONTROL must be given\n");
        _exit(99);
    }
    close(file);
    control = map;
    folder_length = strlen(folder);
    if (server && sscanf(server, "%d %d %255s", &server_in, &server_out, server_err) != 3) {
        dprintf(2, "faulty_disk: FAULTY_SERVER is not: IN OUT ERR\n");
        _exit(99);
    }
}

/* The program from here on, once for each byte. */
static void serve(void) {
    int in = server_in;
    server_in = -1;
    char byte;
    while (read(in, &byte, 1) == 1) {
        pid_t copy = fork();
        if (copy == 0) {
            int err = (int)syscall(SYS_openat, AT_FDCWD, server_err, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600);
            if (err < 0 || dup2(err, 2) < 0) _exit(99);
            return;
        }
        int status = 0;
        if (copy < 0 || waitpid(copy, &status, 0) != copy) _exit(99);
        if (syscall(SYS_write, server_out, &status, sizeof status) != sizeof status) _exit(99);
    }
    _exit(0);
}

static int inside(const char *path) {
    return strncmp(path, folder, folder_length) == 0 && (path[folder_length] == '/' || path[folder_length] == 0 || path[folder_length] == ' ');
}

/* Where an open file lies; empty if it has no name. */
static void named(int file, char *into, size_t room) {
    char link[40];
    snprintf(link, sizeof link, "/proc/self/fd/%d", file);
    long n = syscall(SYS_readlinkat, AT_FDCWD, link, into, room - 1);
    into[n < 0 ? 0 : n] = 0;
}

/* The whole path of a name in a folder. */
static void joined(int at, const char *path, char *into, size_t room) {
    if (!path) path = "/"; /* a question whether the call is there at all */
    if (path[0] == '/') {
        snprintf(into, room, "%s", path);
        return;
    }
    char base[2048];
    if (at == AT_FDCWD) {
        if (!getcwd(base, sizeof base)) base[0] = 0;
    } else {
        named(at, base, sizeof base);
    }
    snprintf(into, room, path[0] ? "%s/%s" : "%s%s", base, path);
}

/* What becomes of a call. */
enum fate { GOES, FAILS, HALF_AND_FAILS, HALF, DONE_AND_FAILS };

static enum fate fate(const char *call, int kind, const char *path) {
    if (!control || !inside(path)) return GOES;
    if (server_in >= 0) serve();
    int at = atomic_load(&control->at), way = atomic_load(&control->way);
    if (at == 0) return GOES;
    int counted = way == REFUSED || way == BLIND || way == TWICE ? LOOKS | CHANGES : way == HALTING ? WAITS : CHANGES;
    if (!(kind & counted)) return GOES;
    int n = atomic_fetch_add(&control->count, 1) + 1;
    if (n < at) return GOES;
    int first = n == at, writes = strcmp(call, "write") == 0;
    enum fate fate = GOES;
    switch (way) {
    case REFUSED: if (first) fate = FAILS, errno = EIO; break;
    case FULL: if (kind & TAKES_ROOM) fate = first && writes ? HALF_AND_FAILS : FAILS, errno = ENOSPC; break;
    case READ_ONLY: fate = FAILS, errno = EROFS; break;
    case BLIND: if (first || !(kind & CHANGES)) fate = FAILS, errno = EIO; break;
    case DONE: if (first) fate = DONE_AND_FAILS, errno = EIO; break;
    case HALTING: if (first) fate = writes ? HALF : FAILS, errno = EINTR; break;
    case TWICE:
        if (first || n == at + atomic_load(&control->again)) fate = FAILS, errno = EIO;
        break;
    case KILLED: fate = writes ? HALF_AND_FAILS : FAILS; break;
    }
    if (fate != GOES && (!atomic_exchange(&control->hit, n) || way == TWICE)) {
        size_t said = strnlen(control->what, sizeof control->what);
        snprintf(control->what + said, sizeof control->what - said, "%s%s %s", said ? ", then " : "", call, path + folder_length);
    }
    if (way == KILLED && !(fate == HALF_AND_FAILS)) kill(getpid(), SIGKILL), pause();
    return fate;
}

/* A call that is done, or not, as its fate says. */
#define AS_FATED(call, kind, path, type, real)                      \
    do {                                                            \
        enum fate fate_ = fate(call, kind, path);                   \
        int error_ = errno;                                         \
        if (fate_ == GOES) return (type)(real);                     \
        if (fate_ == DONE_AND_FAILS && (real) < 0) return (type)-1; \
        errno = error_;                                             \
        return (type)-1;                                            \
    } while (0)

static int opened(int at, const char *path, int flags, mode_t mode) {
    char whole[4096];
    joined(at, path, whole, sizeof whole);
    int kind = flags & (O_CREAT | O_TRUNC) ? CHANGES | WAITS | TAKES_ROOM : flags & (O_WRONLY | O_RDWR) ? CHANGES | WAITS : LOOKS | WAITS;
    enum fate fated = fate("open", kind, whole);
    int error = errno;
    if (fated == GOES) return (int)syscall(SYS_openat, at, path, flags, mode);
    if (fated == DONE_AND_FAILS) {
        int file = (int)syscall(SYS_openat, at, path, flags, mode);
        if (file < 0) return -1;
        close(file);
    }
    errno = error;
    return -1;
}

#define MODE(flags)                                   \
    mode_t mode = 0;                                  \
    if ((flags) & (O_CREAT | O_TMPFILE)) {            \
        va_list rest;                                 \
        va_start(rest, flags);                        \
        mode = va_arg(rest, mode_t);                  \
        va_end(rest);                                 \
    }

int open(const char *path, int flags, ...) { MODE(flags) return opened(AT_FDCWD, path, flags, mode); }
int open64(const char *path, int flags, ...) { MODE(flags) return opened(AT_FDCWD, path, flags, mode); }
int openat(int at, const char *path, int flags, ...) { MODE(flags) return opened(at, path, flags, mode); }
int openat64(int at, const char *path, int flags, ...) { MODE(flags) return opened(at, path, flags, mode); }

ssize_t read(int file, void *into, size_t count) {
    char path[4096];
    named(file, path, sizeof path);
    AS_FATED("read", LOOKS | WAITS, path, ssize_t, syscall(SYS_read, file, into, count));
}

ssize_t write(int file, const void *from, size_t count) {
    char path[4096];
    named(file, path, sizeof path);
    enum fate fated = fate("write", CHANGES | WAITS | TAKES_ROOM, path);
    int error = errno;
    if (fated == GOES) return syscall(SYS_write, file, from, count);
    if (fated == HALF && count > 1) return syscall(SYS_write, file, from, count / 2);
    if (fated == HALF_AND_FAILS) {
        syscall(SYS_write, file, from, count / 2);
        if (atomic_load(&control->way) == KILLED) kill(getpid(), SIGKILL), pause();
    }
    if (fated == DONE_AND_FAILS) syscall(SYS_write, file, from, count);
    errno = fated == HALF ? EINTR : error;
    return -1;
}

#define ON_FILE(name, kind, real)                        \
    {                                                    \
        char path[4096];                                 \
        named(file, path, sizeof path);                  \
        AS_FATED(name, kind, path, int, real);           \
    }

int fsync(int file) ON_FILE("fsync", CHANGES | WAITS, syscall(SYS_fsync, file))
int fdatasync(int file) ON_FILE("fsync", CHANGES | WAITS, syscall(SYS_fdatasync, file))
int ftruncate(int file, off_t length) ON_FILE("ftruncate", CHANGES | WAITS, syscall(SYS_ftruncate, file, length))
int ftruncate64(int file, off64_t length) ON_FILE("ftruncate", CHANGES | WAITS, syscall(SYS_ftruncate, file, length))
int fchmod(int file, mode_t mode) ON_FILE("chmod", CHANGES, syscall(SYS_fchmod, file, mode))
int flock(int file, int how) ON_FILE("flock", LOOKS, syscall(SYS_flock, file, how))

#define ON_PATH(name, kind, at, path_, real)             \
    {                                                    \
        char whole[4096];                                \
        joined(at, path_, whole, sizeof whole);          \
        AS_FATED(name, kind, whole, int, real);          \
    }

int chmod(const char *path, mode_t mode) ON_PATH("chmod", CHANGES, AT_FDCWD, path, syscall(SYS_fchmodat, AT_FDCWD, path, mode))
int mkdir(const char *path, mode_t mode) ON_PATH("mkdir", CHANGES | TAKES_ROOM, AT_FDCWD, path, syscall(SYS_mkdirat, AT_FDCWD, path, mode))
int rmdir(const char *path) ON_PATH("rmdir", CHANGES, AT_FDCWD, path, syscall(SYS_unlinkat, AT_FDCWD, path, AT_REMOVEDIR))
int unlink(const char *path) ON_PATH("unlink", CHANGES, AT_FDCWD, path, syscall(SYS_unlinkat, AT_FDCWD, path, 0))
int unlinkat(int at, const char *path, int flags) ON_PATH("unlink", CHANGES, at, path, syscall(SYS_unlinkat, at, path, flags))
int rename(const char *from, const char *to) ON_PATH("rename", CHANGES, AT_FDCWD, to, syscall(SYS_renameat2, AT_FDCWD, from, AT_FDCWD, to, 0))
int link(const char *from, const char *to) ON_PATH("link", CHANGES | TAKES_ROOM, AT_FDCWD, to, syscall(SYS_linkat, AT_FDCWD, from, AT_FDCWD, to, 0))
int linkat(int at, const char *from, int at_to, const char *to, int flags)
    ON_PATH("link", CHANGES | TAKES_ROOM, at_to, to, syscall(SYS_linkat, at, from, at_to, to, flags))
int statx(int at, const char *restrict path, int flags, unsigned mask, struct statx *restrict into)
    ON_PATH("stat", LOOKS, at, path, syscall(SYS_statx, at, path, flags, mask, into))

DIR *opendir(const char *path) {
    static DIR *(*real)(const char *);
    if (!real) real = (DIR * (*)(const char *)) dlsym(RTLD_NEXT, "opendir");
    char whole[4096];
    joined(AT_FDCWD, path, whole, sizeof whole);
    return fate("opendir", LOOKS, whole) == GOES ? real(path) : NULL;
}

struct dirent64 *readdir64(DIR *of) {
    static struct dirent64 *(*real)(DIR *);
    if (!real) real = (struct dirent64 * (*)(DIR *)) dlsym(RTLD_NEXT, "readdir64");
    char path[4096];
    named(dirfd(of), path, sizeof path);
    return fate("readdir", LOOKS, path) == GOES ? real(of) : NULL;
}
