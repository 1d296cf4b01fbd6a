/* The program: finds the command, runs it, and sees that what it printed arrived. */
#include "app/cli/cli.h"

#include <errno.h>
#include <fcntl.h>
#include <malloc.h>
#include <signal.h>
#include <string.h>
#include <unistd.h>

#include <gsl/gsl_errno.h>

/* Memory that is kept when it is freed, and the largest piece that is, bytes. */
#define KEPT       ((int)256 << 20)
#define KEPT_PIECE ((int)32 << 20)

/* Of the first thread's stack, bytes: solving side by side takes over 100 KiB. */
#define STACK ((size_t)256 << 10)

/* A stack grows as it is used, and where memory is short that is no error to report but a crash. So
 * it is taken while there is some. */
static void __attribute__((noinline)) take_stack(void)
{
    volatile char taken[STACK];
    for (size_t i = 0; i < STACK; i += 1024)
        taken[i] = 0;
    (void)taken[0];
}

/* A closed standard stream would be reused by the next file that is opened. What is opened in its
 * place for reading only fails when written to, as it should. */
static void hold_standard_streams(void)
{
    int fd = open("/dev/null", O_RDONLY);
    while (fd >= 0 && fd <= 2)
        fd = open("/dev/null", O_RDONLY);
    if (fd > 2)
        close(fd);
}

static int run_command(int n, char *words[])
{
    const cli_command *command = cli_find_command(words[0]);
    cli_options options = {0};
    if (command == NULL)
        return cli_complain_of_command(words[0]);
    if (!cli_read_options(&options, command, n - 1, words + 1))
        return STATUS_WRONG;
    if (options.help || options.version) {
        if (options.help)
            cli_help_command(command, stdout);
        else
            cli_print_version(stdout);
        return STATUS_DONE;
    }
    return cli_files_are_apart(&options, command) ? command->run(&options) : STATUS_WRONG;
}

static int run(int n, char *words[])
{
    if (n == 0) {
        cli_help(0, NULL, stderr);
        return STATUS_WRONG;
    }
    const char *word = cli_long_name(words[0]);
    if (strcmp(word, "--version") == 0) {
        cli_print_version(stdout);
        return STATUS_DONE;
    }
    if (strcmp(word, "help") == 0 || strcmp(word, "--help") == 0)
        return cli_help(n - 1, words + 1, stdout);
    return run_command(n, words);
}

/* Studies lay out many maps one after the other: their memory is kept from one to the next and not
 * given back, and cleared, each time. */
static void keep_memory(void)
{
    mallopt(M_MMAP_THRESHOLD, KEPT_PIECE);
    mallopt(M_TRIM_THRESHOLD, KEPT);
}

int main(int argc, char *argv[])
{
    take_stack();
    keep_memory();
    cli_stop_on_signals();
    hold_standard_streams();
    gsl_set_error_handler_off();
    signal(SIGXFSZ, SIG_IGN); /* a file that grows too large is an error to report */
    const int status = run(argc - 1, argv + 1);
    /* A command that failed has said why. */
    if ((fflush(stdout) != 0 || ferror(stdout)) && status != STATUS_FAILED) {
        fprintf(stderr, "anchorwise: standard output cannot be written: %s\n", strerror(errno));
        return STATUS_FAILED;
    }
    return status;
}
