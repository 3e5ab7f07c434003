/* The commands of the program, one file each. argv[0] is the command's name; each returns the
 * program's exit code and has told the user about any failure. */
#ifndef ISW_CLI_COMMANDS_H
#define ISW_CLI_COMMANDS_H

int isw_cli_command_map(int argc, char **argv);
int isw_cli_command_parts(int argc, char **argv);
int isw_cli_command_join(int argc, char **argv);
int isw_cli_command_site(int argc, char **argv);
int isw_cli_command_compare(int argc, char **argv);
int isw_cli_command_guide(int argc, char **argv);
int isw_cli_command_inspect(int argc, char **argv);
int isw_cli_command_crop(int argc, char **argv);

#endif
