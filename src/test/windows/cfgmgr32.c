/*
 * The six functions of cfgmgr32.dll that hidapi.dll asks for, for a Wine that lacks one of them and has two as stubs
 * (Debian's Wine 8.0); made of setupapi's, which it has. Tests lay it beside the program; it is never shipped.
 *
 * Wine also lets everybody open a box that somebody has opened for himself alone. Where $RINGOUT_HELD is in the
 * environment, hidapi.dll gets a CreateFileW that refuses to open boxes for reading, as Windows would; what hidapi then
 * does, the failing read, and what comes of it are real.
 *
 * x86_64-w64-mingw32-gcc -shared -O1 -Wall -o cfgmgr32.dll cfgmgr32.c cfgmgr32.def -lsetupapi
 */
#include <windows.h>
#include <cfgmgr32.h>
#include <devpropdef.h>
#include <setupapi.h>
#include <string.h>
#include <wchar.h>

#define INSTANCE_ID 256 /* DEVPKEY_Device_InstanceId of devpkey.h, the only property that is asked for by this way */

/* Writes the paths of all present interfaces of that class, each with its end, as far as there is room; returns the room needed. */
static ULONG paths(GUID *interface_class, WCHAR *out, ULONG room) {
    ULONG needed = 0;
    HDEVINFO all = SetupDiGetClassDevsW(interface_class, NULL, NULL, DIGCF_PRESENT | DIGCF_DEVICEINTERFACE);
    if (all != INVALID_HANDLE_VALUE) {
        SP_DEVICE_INTERFACE_DATA one = {sizeof one};
        for (DWORD i = 0; SetupDiEnumDeviceInterfaces(all, NULL, interface_class, i, &one); i++) {
            union {
                SP_DEVICE_INTERFACE_DETAIL_DATA_W detail;
                char room[2048];
            } found;
            found.detail.cbSize = sizeof found.detail;
            if (!SetupDiGetDeviceInterfaceDetailW(all, &one, &found.detail, sizeof found, NULL, NULL)) continue;
            ULONG length = wcslen(found.detail.DevicePath) + 1;
            if (out && needed + length < room) memcpy(out + needed, found.detail.DevicePath, length * sizeof(WCHAR));
            needed += length;
        }
        SetupDiDestroyDeviceInfoList(all);
    }
    if (out && needed < room) out[needed] = 0;
    return needed + 1;
}

static HANDLE WINAPI refusing(
    const WCHAR *name, DWORD access, DWORD sharing, SECURITY_ATTRIBUTES *security, DWORD how, DWORD flags, HANDLE like) {
    int boxed = !wcsncmp(name, L"\\\\?\\hid#", 8);
    if (boxed && access) {
        SetLastError(ERROR_SHARING_VIOLATION);
        return INVALID_HANDLE_VALUE;
    }
    /* Wine's HID driver does not survive a question by a handle without any access; one that cannot read serves as well. */
    return CreateFileW(name, boxed ? GENERIC_WRITE : access, sharing, security, how, flags, like);
}

/* Gives the library that holds that address the function above (PE Format, "Import Directory Table"). */
static void hold(void *address) {
    HMODULE library;
    if (!GetEnvironmentVariableW(L"RINGOUT_HELD", NULL, 0)
        || !GetModuleHandleExW(
            GET_MODULE_HANDLE_EX_FLAG_FROM_ADDRESS | GET_MODULE_HANDLE_EX_FLAG_UNCHANGED_REFCOUNT, address, &library)) {
        return;
    }
    BYTE *base = (BYTE *)library;
    IMAGE_NT_HEADERS *header = (IMAGE_NT_HEADERS *)(base + ((IMAGE_DOS_HEADER *)base)->e_lfanew);
    DWORD at = header->OptionalHeader.DataDirectory[IMAGE_DIRECTORY_ENTRY_IMPORT].VirtualAddress;
    for (IMAGE_IMPORT_DESCRIPTOR *from = (void *)(base + at); from->Name; from++) {
        IMAGE_THUNK_DATA *name = (void *)(base + from->OriginalFirstThunk), *function = (void *)(base + from->FirstThunk);
        for (; name->u1.AddressOfData; name++, function++) {
            IMAGE_IMPORT_BY_NAME *import = (void *)(base + name->u1.AddressOfData);
            DWORD before;
            if (!IMAGE_SNAP_BY_ORDINAL(name->u1.Ordinal) && !strcmp((char *)import->Name, "CreateFileW")
                && VirtualProtect(function, sizeof *function, PAGE_READWRITE, &before)) {
                function->u1.Function = (ULONG_PTR)refusing;
            }
        }
    }
}

CONFIGRET WINAPI ListSize(ULONG *length, GUID *interface_class, WCHAR *device, ULONG flags) {
    hold(__builtin_return_address(0));
    *length = paths(interface_class, NULL, 0);
    return CR_SUCCESS;
}

CONFIGRET WINAPI List(GUID *interface_class, WCHAR *device, WCHAR *out, ULONG room, ULONG flags) {
    return paths(interface_class, out, room) > room ? CR_BUFFER_SMALL : CR_SUCCESS;
}

/* The device of an interface, by its path: \\?\hid#vid_...#instance#{class} is hid\vid_...\instance. */
CONFIGRET WINAPI Property(
    const WCHAR *path, const DEVPROPKEY *key, DEVPROPTYPE *type, BYTE *out, ULONG *size, ULONG flags) {
    WCHAR name[MAX_DEVICE_ID_LEN + 64];
    if (key->pid != INSTANCE_ID || wcsncmp(path, L"\\\\?\\", 4)) return CR_NO_SUCH_VALUE;
    if (wcslen(path + 4) >= sizeof name / sizeof *name) return CR_FAILURE;
    wcscpy(name, path + 4);
    WCHAR *end = wcsrchr(name, L'#');
    if (!end) return CR_FAILURE;
    *end = 0;
    for (WCHAR *c = name; *c; c++) {
        if (*c == L'#') *c = L'\\';
    }
    ULONG needed = (wcslen(name) + 1) * sizeof(WCHAR), room = *size;
    *size = needed;
    *type = DEVPROP_TYPE_STRING;
    if (room < needed) return CR_BUFFER_SMALL;
    memcpy(out, name, needed);
    return CR_SUCCESS;
}
