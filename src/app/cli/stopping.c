/* Ctrl-C. The program ends at once, wherever it is, with its own status and no half-written file:
 * most of what takes long has nothing to show before its end, and what opens, reads, parses or
 * draws a sheet has no place to look at a flag. Only a command that says so is given a moment to
 * come back with the best so far. Everything here may run in a signal handler. */
#include "app/cli/cli.h"

#include <errno.h>
#include <signal.h>
#include <stdatomic.h>
#include <string.h>
#include <sys/time.h>
#include <unistd.h>

/* How long a command has to come back, and how soon a file that is just being made is asked for
 * again, microseconds. */
#define PATIENCE 700000
#define SOON     10000

static aw_watch *_Atomic lenient; /* of a command that comes back by itself, or NULL */
static atomic_bool writes;

static void say(const char *text)
{
    const ssize_t written = write(STDERR_FILENO, text, strlen(text));
    (void)written; /* there is nobody left to tell */
}

static void wake_in(suseconds_t microseconds)
{
    const struct itimerval once = {.it_value = {.tv_usec = microseconds}};
    setitimer(ITIMER_REAL, &once, NULL);
}

static void end_at_once(int signal_number)
{
    const int kept = errno;
    (void)signal_number;
    if (!aw_text_abandon()) {
        wake_in(SOON);
        errno = kept;
        return;
    }
    if (cli_bar_is_drawn())
        say("\r\033[K");
    say(atomic_load(&writes) ? "anchorwise: stopped\n"
                             : "anchorwise: stopped; nothing was written\n");
    _exit(STATUS_STOPPED);
}

static void stop(int signal_number)
{
    aw_watch *watch = atomic_load(&lenient);
    if (watch != NULL && atomic_exchange(&watch->stop, 1) == 0)
        wake_in(PATIENCE);
    else
        end_at_once(signal_number);
}

void cli_stop_on_signals(void)
{
    struct sigaction action = {.sa_handler = end_at_once, .sa_flags = SA_RESTART};
    sigaction(SIGALRM, &action, NULL);
    action.sa_handler = stop;
    sigaction(SIGINT, &action, NULL);
}

void cli_stop_gently(aw_watch *watch)
{
    atomic_store(&lenient, watch);
}

void cli_stop_after_writing(void)
{
    atomic_store(&writes, true);
}
